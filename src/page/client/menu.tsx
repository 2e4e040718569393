import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';
import { data } from './data.ts';
import { PrivateLink } from './private-link.tsx';

const COMMANDS = ['back', 'why', 'help', 'person', 'restart', 'delete'] as const;

export interface MenuProps {
  readonly words: PageWords;
  readonly language: string;
  readonly notice: string | null;
  /** Opens the conversation on another device; null while there is nothing to open. */
  readonly link: string | null;
  /** Says the command in the conversation, which knows what to do. */
  readonly onCommand: (text: string) => void;
}

/** What may be said at any time, and the cautions in full. */
export function Menu({ words, language, notice, link, onCommand }: MenuProps): JSX.Element {
  const sheet = useRef<HTMLDialogElement>(null);
  const close = () => sheet.current?.close();
  const say = (text: string) => {
    close();
    onCommand(text);
  };
  const others = data.languages.filter(({ tag }) => tag !== language);
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
          {others.map(({ tag, name, wish }) => (
            <button key={tag} type="button" class="choice" lang={tag} onClick={() => say(wish)}>
              {name}
            </button>
          ))}
        </div>
        {link && <PrivateLink words={words} link={link} />}
        <h2>{words.cautionsTitle}</h2>
        <ul>
          <li>{words.cautions}</li>
          <li>{words.cautionSeat}</li>
          <li>{words.cautionClinician}</li>
          {notice && <li>{notice}</li>}
        </ul>
        <button type="button" class="plain" onClick={close}>
          {words.close}
        </button>
      </dialog>
    </>
  );
}
