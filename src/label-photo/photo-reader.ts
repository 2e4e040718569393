import type { PhotoReading } from '#dialogs/label-photo.ts';
import type { LabelFields } from '#dialogs/understanding/label-print.ts';
import type { SentPhoto } from '#src/turns/turns-types.ts';
import type { Grey } from './grey.ts';
import { createLane } from './lane.ts';
import { createOcr, type Ocr } from './ocr.ts';
import { takePhoto, thumbnailOf } from './photo.ts';
import { readPrint } from './read-label.ts';
import { straightPrintApart } from './straight-thread.ts';

/** So many photos are unpacked or wait for it, each of at most 12 MB; one more is answered at once. */
const MOST_TO_UNPACK = 10;
/** The same for reading, where a photo has some megabytes. */
const MOST_TO_READ = 10;
/** From taking a photo in to its answer: what is not read by then is asked for in words. */
const LONGEST_MS = 15_000;
/** Of several files at once so many are taken. */
const MOST_FILES = 3;

export interface PhotoReader {
  /**
   * What files of one message say of a seat: the surest of each field. Never rejects. Whatever is a photo comes back
   * without metadata, to be kept or dropped by whoever called.
   */
  readonly read: (files: readonly Buffer[]) => Promise<SentPhoto>;
  readonly stop: () => Promise<void>;
}

interface Parts {
  readonly take: typeof takePhoto;
  readonly straighten: typeof straightPrintApart;
  readonly readFields: typeof readPrint;
  readonly ocr: Ocr;
  readonly longestMs: number;
}

type Problem = Extract<PhotoReading, { kind: 'problem' }>['problem'];

const problem = (what: Problem): PhotoReading => ({ kind: 'problem', problem: what });
const nothing = (what: Problem): SentPhoto => ({ reading: problem(what), pictures: [] });

/** The surest of each field. */
function together(photos: readonly SentPhoto[]): SentPhoto {
  const fields: Record<string, LabelFields[string]> = {};
  for (const { reading } of photos)
    for (const [path, field] of Object.entries(reading.kind === 'read' ? reading.fields : {}))
      if ((fields[path]?.confidence ?? 0) < field.confidence) fields[path] = field;
  const read = Object.keys(fields).length > 0;
  return {
    reading: read ? { kind: 'read', fields } : (photos[0]?.reading ?? problem('no-image')),
    pictures: photos.flatMap(({ pictures }) => pictures),
  };
}

/**
 * Takes in photos and reads them, of all conversations one after another: one is unpacked and straightened and one is read
 * at any time, so that ten at once need little more memory than one.
 */
export function createPhotoReader(today: () => string, parts: Partial<Parts> = {}): PhotoReader {
  const { take = takePhoto, straighten = straightPrintApart, readFields = readPrint } = parts;
  const { ocr = createOcr(), longestMs = LONGEST_MS } = parts;
  const unpacking = createLane(MOST_TO_UNPACK);
  const readingLane = createLane(MOST_TO_READ);

  async function unpacked(file: Buffer, until: number) {
    const photo = await take(file);
    if (!photo.ok) return photo;
    const thumbnail = await thumbnailOf(photo.jpeg);
    const print = await straighten(photo.jpeg, until - performance.now()).catch(() => null);
    return { ...photo, thumbnail, print };
  }

  async function fieldsOf(print: Grey, until: number): Promise<LabelFields> {
    const work = async (): Promise<LabelFields> =>
      performance.now() < until ? readFields(print, ocr, today(), until) : {};
    return (await readingLane.run(work)) ?? {};
  }

  async function one(file: Buffer): Promise<SentPhoto> {
    const until = performance.now() + longestMs;
    const taken = await unpacking.run(() => unpacked(file, until));
    if (!taken) return nothing('busy');
    if (!taken.ok) {
      const large = taken.error === 'too-many-bytes' || taken.error === 'too-many-pixels';
      return nothing(large ? 'too-large' : 'no-image');
    }
    const fields = taken.print ? await fieldsOf(taken.print, until).catch(() => ({})) : {};
    return {
      reading: Object.keys(fields).length > 0 ? { kind: 'read', fields } : problem('unreadable'),
      pictures: [{ picture: taken.jpeg, thumbnail: taken.thumbnail, fields }],
    };
  }

  return {
    async read(files) {
      const photos: SentPhoto[] = [];
      for (const file of files.slice(0, MOST_FILES)) photos.push(await one(file));
      return together(photos);
    },
    stop: ocr.close,
  };
}
