import type { JSX, Ref, TargetedEvent } from 'preact';
import { useRef } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';

/** A camera in lines, in the colour of the words around it. */
export const Camera = (): JSX.Element => (
  <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" class="camera">
    <path d="M3 8.5a2 2 0 0 1 2-2h2.6L9.2 4h5.6l1.6 2.5H19a2 2 0 0 1 2 2V18a2 2 0 0 1-2 2H5a2 2 0 0 1-2-2z" />
    <circle cx="12" cy="13" r="3.6" />
  </svg>
);

export interface PhotoSheetProps {
  readonly words: PageWords;
  readonly sheet: Ref<HTMLDialogElement>;
  readonly onPhoto: (file: File) => void;
}

/** Takes a photo with the camera, or one that is there already, and says where it goes. */
export function PhotoSheet({ words, sheet, onPhoto }: PhotoSheetProps): JSX.Element {
  const camera = useRef<HTMLInputElement>(null);
  const album = useRef<HTMLInputElement>(null);
  const close = (from: Element) => from.closest('dialog')?.close();
  const chosen = (event: TargetedEvent<HTMLInputElement>) => {
    const input = event.currentTarget;
    const file = input.files?.[0];
    close(input);
    if (file) onPhoto(file);
    // The same file may be chosen again.
    input.value = '';
  };
  return (
    <dialog ref={sheet} class="sheet" aria-label={words.photo}>
      <p>{words.photoHint}</p>
      <p class="hint">{words.photoGoes}</p>
      <input ref={camera} type="file" accept="image/*" capture="environment" hidden onChange={chosen} />
      <input ref={album} type="file" accept="image/*" hidden onChange={chosen} />
      <div class="buttons">
        <button type="button" class="choice" onClick={() => camera.current?.click()}>
          {words.takePhoto}
        </button>
        <button type="button" class="choice" onClick={() => album.current?.click()}>
          {words.choosePhoto}
        </button>
      </div>
      <button type="button" class="plain" onClick={(event) => close(event.currentTarget)}>
        {words.close}
      </button>
    </dialog>
  );
}
