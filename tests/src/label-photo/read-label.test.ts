import sharp from 'sharp';
import { expect, it } from 'vitest';
import type { PrintedLine } from '#dialogs/understanding/label-lines.ts';
import { createOcr, type Ocr } from '#src/label-photo/ocr.ts';
import { readLabel, readPrint } from '#src/label-photo/read-label.ts';

const TODAY = '2026-05-16';

const lineOf = (text: string): PrintedLine => text.split(' ').map((word) => ({ text: word, confidence: 0.95 }));

/** A reader of print that says one thing after another, whatever it is shown. */
function saying(...readings: readonly string[]): { readonly ocr: Ocr; readonly widths: readonly number[] } {
  const widths: number[] = [];
  const read = async (image: Buffer) => {
    widths.push((await sharp(image).metadata()).width);
    return (readings[widths.length - 1] ?? '').split('\n').map(lineOf);
  };
  return { ocr: { read, close: async () => {} }, widths };
}

const photo = sharp({ create: { width: 400, height: 200, channels: 3, background: '#ddd' } })
  .jpeg()
  .toBuffer();

it('of two readings only what they say alike is offered, and the second is of a smaller drawing', async () => {
  const { ocr, widths } = saying(
    'DOM 2021/05/14\nUseful life: 10 years\nModel No. KD-4471B',
    'DOM 2021/05/14\nUseful life: 16 years',
  );
  expect(await readLabel(await photo, ocr, TODAY)).toEqual({
    manufactureDate: { value: '2021-05-14', confidence: expect.closeTo(0.95) },
  });
  expect(widths[1]).toBeLessThan(widths[0] ?? 0);
});

it('a photo of which nothing is read is tried upside down, and then given up', async () => {
  const { ocr, widths } = saying('vol 1202', 'DOM 2021/05/14', 'DOM 2021/05/14');
  expect(await readLabel(await photo, ocr, TODAY)).toHaveProperty('manufactureDate');
  const nothing = saying();
  expect(await readLabel(await photo, nothing.ocr, TODAY)).toEqual({});
  expect([widths.length, nothing.widths.length]).toEqual([3, 2]);
});

it('is not begun once its time is over', async () => {
  const blank = { data: new Uint8Array(100).fill(255), width: 10, height: 10 };
  await expect(readPrint(blank, createOcr(), TODAY, performance.now() - 1)).rejects.toThrow('too long');
});
