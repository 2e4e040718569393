import type { JSX } from 'preact';
import type { PageWords } from '../page-words.ts';
import type { Outgoing } from './api.ts';
import { Camera } from './photo-button.tsx';

/** A photo of the caregiver's in the thread: small where this browser has it, and in words. */
export const PhotoItem = ({ words, preview }: { words: PageWords; preview: string | null }): JSX.Element => (
  <p class="photo-item">
    {preview ? <img class="preview" src={preview} alt="" /> : <Camera />}
    <span>{words.yourPhoto}</span>
  </p>
);

export interface WaitingLineProps {
  readonly message: Outgoing;
  readonly words: PageWords;
  readonly failing: boolean;
  /** How much of it has arrived, from 0 to 1; null where it is not being sent, or has no photo. */
  readonly progress: number | null;
  readonly onCancel: (id: string) => void;
}

/** What is written and not answered yet. */
export function WaitingLine({ message, words, failing, progress, onCancel }: WaitingLineProps): JSX.Element {
  const { id, text, photo } = message;
  const arrived = progress === 1 && !failing;
  return (
    <li class="line you waiting" data-id={id}>
      <span class="unseen">{words.you}</span>
      <div class="said" dir="auto">
        {photo ? <PhotoItem words={words} preview={photo.preview} /> : <p>{text}</p>}
      </div>
      {failing && <p class="delivery">{photo ? words.photoWaits : words.failed}</p>}
      {photo && !failing && (
        <p class="delivery">
          {progress !== null && !arrived && <progress max={1} value={progress} aria-label={words.photoSending} />}
          <span>{arrived ? words.photoReading : words.photoSending}</span>
        </p>
      )}
      {photo && !arrived && (
        <button type="button" class="plain cancel" onClick={() => onCancel(id)}>
          {words.cancel}
        </button>
      )}
    </li>
  );
}
