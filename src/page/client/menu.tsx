import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';
import { languages } from './page-words.ts';

const COMMANDS = ['back', 'why', 'help', 'person', 'restart', 'delete'] as const;

/** A language by its own name, as its speakers look for it. */
function ownName(language: string): string {
  const name =
    new Intl.DisplayNames(language, { type: 'language', languageDisplay: 'standard' }).of(language) ?? language;
  return name.charAt(0).toLocaleUpperCase(language) + name.slice(1);
}

export interface MenuProps {
  readonly words: PageWords;
  readonly language: string;
  /** Says the command in the conversation, which knows what to do. */
  readonly onCommand: (text: string) => void;
}

/** What may be said at any time, and the cautions in full. */
export function Menu({ words, language, onCommand }: MenuProps): JSX.Element {
  const sheet = useRef<HTMLDialogElement>(null);
  const close = () => sheet.current?.close();
  const say = (text: string) => {
    close();
    onCommand(text);
  };
  const others = languages.filter((other) => other !== language);
  return (
    <>
      <button type="button" class="menu-button" aria-haspopup="dialog" onClick={() => sheet.current?.showModal()}>
        {words.menu}
      </button>
      <dialog ref={sheet} class="sheet" aria-label={words.menu}>
        <div class="buttons">
          {COMMANDS.map((command) => (
            <button key={command} type="button" class="choice" onClick={() => say(words[command])}>
              {words[command]}
            </button>
          ))}
        </div>
        <h2>{words.language}</h2>
        <div class="buttons">
          {others.map((other) => (
            <button key={other} type="button" class="choice" lang={other} onClick={() => say(ownName(other))}>
              {ownName(other)}
            </button>
          ))}
        </div>
        <h2>{words.cautionsTitle}</h2>
        <ul>
          <li>{words.cautions}</li>
          <li>{words.cautionSeat}</li>
          <li>{words.cautionClinician}</li>
        </ul>
        <button type="button" class="plain" onClick={close}>
          {words.close}
        </button>
      </dialog>
    </>
  );
}
