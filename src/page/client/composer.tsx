import type { JSX, RefObject } from 'preact';
import { useState } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';
import { Camera } from './photo-button.tsx';

const MAX_LENGTH = 10_000;

export interface ComposerProps {
  readonly words: PageWords;
  readonly field: RefObject<HTMLTextAreaElement | null>;
  readonly problem: string | null;
  readonly onSend: (text: string) => void;
  readonly onPhoto: () => void;
}

/** The answer box: Enter sends, Shift and Enter begin a new line. */
export function Composer({ words, field, problem, onSend, onPhoto }: ComposerProps): JSX.Element {
  const [text, setText] = useState('');
  const send = () => {
    if (text.trim() === '') return;
    onSend(text.trim());
    setText('');
    field.current?.focus();
  };
  return (
    <form
      class="composer"
      onSubmit={(event) => {
        event.preventDefault();
        send();
      }}
    >
      {problem && (
        <p id="problem" class="problem" role="alert">
          {problem}
        </p>
      )}
      <button type="button" class="photo-button" aria-label={words.photo} aria-haspopup="dialog" onClick={onPhoto}>
        <Camera />
      </button>
      <label for="answer" class="unseen">
        {words.answer}
      </label>
      <textarea
        id="answer"
        ref={field}
        rows={1}
        dir="auto"
        maxLength={MAX_LENGTH}
        enterkeyhint="send"
        autocomplete="off"
        placeholder={words.placeholder}
        aria-describedby={problem ? 'problem' : undefined}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
        onKeyDown={(event) => {
          // While an input method composes a character, Enter belongs to it.
          if (event.key !== 'Enter' || event.shiftKey || event.isComposing) return;
          event.preventDefault();
          send();
        }}
      />
      <button type="submit" class="send">
        {words.send}
      </button>
    </form>
  );
}
