import type { PhotoReading } from '#dialogs/label-photo.ts';
import { createOcr } from './ocr.ts';
import { takePhoto } from './photo.ts';
import { readLabel } from './read-label.ts';

/** So many photos wait for their turn at most, each of at most 12 MB; one more is answered at once. */
const MOST_WAITING = 10;

export interface PhotoReader {
  /** What a file says of a seat. Never rejects; nothing of the file is kept. */
  readonly read: (file: Buffer) => Promise<PhotoReading>;
  readonly stop: () => Promise<void>;
}

const problem = (what: Extract<PhotoReading, { kind: 'problem' }>['problem']): PhotoReading => ({
  kind: 'problem',
  problem: what,
});

/** Reads photos one after another, so that ten at once need no more memory than one beside their files. */
export function createPhotoReader(today: () => string): PhotoReader {
  const ocr = createOcr();
  let waiting = 0;
  let last: Promise<unknown> = Promise.resolve();

  const work = async (file: Buffer): Promise<PhotoReading> => {
    const photo = await takePhoto(file);
    if (!photo.ok) {
      const large = photo.error === 'too-many-bytes' || photo.error === 'too-many-pixels';
      return problem(large ? 'too-large' : 'no-image');
    }
    try {
      const fields = await readLabel(photo.jpeg, ocr, today());
      return Object.keys(fields).length > 0 ? { kind: 'read', fields } : problem('unreadable');
    } catch {
      return problem('unreadable');
    }
  };

  return {
    read(file) {
      if (waiting >= MOST_WAITING) return Promise.resolve(problem('unreadable'));
      waiting += 1;
      const reading = last
        .then(() => work(file))
        .finally(() => {
          waiting -= 1;
        });
      last = reading;
      return reading;
    },
    stop: ocr.close,
  };
}
