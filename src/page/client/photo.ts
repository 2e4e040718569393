/** What is enough to read the print of a label; so a phone's photo of many megabytes goes over a poor line as one. */
const LONGEST_SIDE = 2400;
const PREVIEW_SIDE = 160;
/** The server takes no more. */
const MAX_BYTES = 12_000_000;

export interface Photo {
  readonly blob: Blob;
  /** A small picture of it as a data address; null where the browser cannot draw it. */
  readonly preview: string | null;
}

export type Prepared = Photo | 'photoNot' | 'photoLarge';

function drawn(bitmap: ImageBitmap, side: number): HTMLCanvasElement {
  const scale = Math.min(1, side / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return canvas;
}

const asJpeg = (canvas: HTMLCanvasElement): Promise<Blob | null> =>
  new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', 0.85));

/**
 * A chosen file ready to be sent: upright, no larger than is needed, and drawn anew, so that where and when it was taken never
 * leaves the device. What this browser cannot draw is sent as it is, for the server to judge.
 */
export async function prepare(file: File): Promise<Prepared> {
  const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(() => null);
  if (bitmap) {
    const blob = await asJpeg(drawn(bitmap, LONGEST_SIDE));
    const preview = drawn(bitmap, PREVIEW_SIDE).toDataURL('image/jpeg', 0.7);
    bitmap.close();
    if (blob) return { blob, preview };
  }
  if (!file.type.startsWith('image/')) return 'photoNot';
  return file.size > MAX_BYTES ? 'photoLarge' : { blob: file, preview: null };
}
