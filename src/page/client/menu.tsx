import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';

const COMMANDS = ['back', 'why', 'help', 'person', 'language', 'restart', 'delete'] as const;

export interface MenuProps {
  readonly words: PageWords;
  /** Says the command in the conversation, which knows what to do. */
  readonly onCommand: (text: string) => void;
}

export function Menu({ words, onCommand }: MenuProps): JSX.Element {
  const sheet = useRef<HTMLDialogElement>(null);
  return (
    <>
      <button type="button" class="menu-button" aria-haspopup="dialog" onClick={() => sheet.current?.showModal()}>
        {words.menu}
      </button>
      <dialog ref={sheet} class="sheet" aria-label={words.menu}>
        <div class="commands">
          {COMMANDS.map((command) => (
            <button
              key={command}
              type="button"
              class="choice"
              onClick={() => {
                sheet.current?.close();
                onCommand(words[command]);
              }}
            >
              {words[command]}
            </button>
          ))}
        </div>
        <h2>{words.cautionsTitle}</h2>
        <ul>
          <li>{words.cautions}</li>
          <li>{words.cautionSeat}</li>
          <li>{words.cautionClinician}</li>
        </ul>
        <button type="button" class="plain" onClick={() => sheet.current?.close()}>
          {words.close}
        </button>
      </dialog>
    </>
  );
}
