import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';
import type { Picture } from './activities.ts';

/** The drawings of the open question; a touch shows one large, with its words. */
export function Pictures({ pictures, words }: { pictures: readonly Picture[]; words: PageWords }): JSX.Element {
  const sheet = useRef<HTMLDialogElement>(null);
  const [shown, setShown] = useState<Picture | null>(null);
  const open = (picture: Picture) => {
    setShown(picture);
    sheet.current?.showModal();
  };
  return (
    <>
      <div class="pictures">
        {pictures.map((picture) => (
          <button
            key={picture.source}
            type="button"
            class="picture"
            aria-haspopup="dialog"
            onClick={() => open(picture)}
          >
            <img class="drawing" src={picture.source} alt={picture.text} width={240} height={180} />
          </button>
        ))}
      </div>
      <dialog ref={sheet} class="sheet" aria-label={words.picture}>
        {shown && (
          <figure>
            <img class="drawing" src={shown.source} alt="" width={240} height={180} />
            <figcaption>{shown.text}</figcaption>
          </figure>
        )}
        <button type="button" class="plain" onClick={() => sheet.current?.close()}>
          {words.close}
        </button>
      </dialog>
    </>
  );
}
