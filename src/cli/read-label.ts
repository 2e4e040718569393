import { readFile, stat } from 'node:fs/promises';
import { createOcr } from '#src/label-photo/ocr.ts';
import { type PhotoError, takePhoto } from '#src/label-photo/photo.ts';
import { MAX_PHOTO_BYTES } from '#src/label-photo/photo-bytes.ts';
import { readLabel } from '#src/label-photo/read-label.ts';

const MESSAGES: Readonly<Record<PhotoError | 'unreadable', string>> = {
  'no-image': 'this is no image',
  format: 'this kind of image cannot be read; save it as JPEG, PNG or WebP',
  'too-many-bytes': `the file is larger than ${MAX_PHOTO_BYTES} bytes`,
  'too-many-pixels': 'the image has too many pixels',
  damaged: 'the image is damaged',
  unreadable: 'the file cannot be read',
};

async function bytesOf(file: string): Promise<Buffer | PhotoError | 'unreadable'> {
  try {
    const { size } = await stat(file);
    return size > MAX_PHOTO_BYTES ? 'too-many-bytes' : await readFile(file);
  } catch {
    return 'unreadable';
  }
}

const files = process.argv.slice(2);
const ocr = createOcr();
const today = new Date().toISOString().slice(0, 10);
let status = 0;

function refuse(file: string, code: PhotoError | 'unreadable' | 'reading-failed', message: string): void {
  status = 2;
  process.stdout.write(`${JSON.stringify({ file, error: { code, message } })}\n`);
}

for (const file of files) {
  const bytes = await bytesOf(file);
  const photo = typeof bytes === 'string' ? ({ ok: false, error: bytes } as const) : await takePhoto(bytes);
  if (!photo.ok) {
    refuse(file, photo.error, MESSAGES[photo.error]);
    continue;
  }
  try {
    const fields = await readLabel(photo.jpeg, ocr, today);
    process.stdout.write(`${JSON.stringify({ file, fields })}\n`);
  } catch {
    refuse(file, 'reading-failed', 'reading took too long');
  }
}
await ocr.close();
if (files.length === 0) {
  process.stderr.write('usage: npm run -s read-label -- FILE…\n');
  status = 2;
}
process.exitCode = status;
