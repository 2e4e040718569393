import sharp from 'sharp';
import { MAX_PHOTO_BYTES } from './photo-bytes.ts';

/** More than any phone's camera takes; a file that claims more is not unpacked. */
const MAX_PIXELS = 64_000_000;
/** The longer side of what is kept: print of 2 mm on a label of 20 cm is still 20 pixels high. */
const LONGEST_SIDE = 2400;
const THUMBNAIL_SIDE = 320;
/** A file made to take long is given up. */
const LONGEST_SECONDS = 10;

export type PhotoError = 'no-image' | 'format' | 'too-many-bytes' | 'too-many-pixels' | 'damaged';

export type Photo =
  | { readonly ok: true; readonly jpeg: Buffer; readonly width: number; readonly height: number }
  | { readonly ok: false; readonly error: PhotoError };

/** Kinds of file by their first bytes; names and declared types are not believed. */
function kindOf(bytes: Buffer): 'readable' | 'foreign' | null {
  const head = bytes.subarray(0, 16).toString('latin1');
  if (head.startsWith('\xff\xd8\xff') || head.startsWith('\x89PNG\r\n\x1a\n')) return 'readable';
  if (head.startsWith('RIFF') && head.slice(8, 12) === 'WEBP') return 'readable';
  if (head.slice(4, 8) === 'ftyp') return /^(?:avif|avis)/.test(head.slice(8)) ? 'readable' : 'foreign';
  if (/^(?:GIF8|BM|II\*\0|MM\0\*)/.test(head)) return 'foreign';
  return null;
}

/** One picture at a time is unpacked: it needs some four bytes a pixel. */
sharp.concurrency(1);
sharp.cache(false);

/**
 * Takes in a photo of a label: turned upright, no larger than is needed to read it, as JPEG without any metadata (place,
 * device, time, preview).
 */
export async function takePhoto(bytes: Buffer): Promise<Photo> {
  if (bytes.length > MAX_PHOTO_BYTES) return { ok: false, error: 'too-many-bytes' };
  const kind = kindOf(bytes);
  if (kind !== 'readable') return { ok: false, error: kind === null ? 'no-image' : 'format' };
  try {
    const { width, height } = await sharp(bytes, { limitInputPixels: false }).metadata();
    if (width * height > MAX_PIXELS) return { ok: false, error: 'too-many-pixels' };
    const { data, info } = await sharp(bytes, { limitInputPixels: MAX_PIXELS, failOn: 'error', pages: 1 })
      .autoOrient()
      .resize({ width: LONGEST_SIDE, height: LONGEST_SIDE, fit: 'inside', withoutEnlargement: true })
      .flatten({ background: 'white' })
      .jpeg({ quality: 85 })
      .timeout({ seconds: LONGEST_SECONDS })
      .toBuffer({ resolveWithObject: true });
    return { ok: true, jpeg: data, width: info.width, height: info.height };
  } catch {
    return { ok: false, error: 'damaged' };
  }
}

/** The same photo small, as JPEG, to be found by. */
export const thumbnailOf = (jpeg: Buffer): Promise<Buffer> =>
  sharp(jpeg)
    .resize({ width: THUMBNAIL_SIDE, height: THUMBNAIL_SIDE, fit: 'inside', withoutEnlargement: true })
    .jpeg({ quality: 70 })
    .toBuffer();
