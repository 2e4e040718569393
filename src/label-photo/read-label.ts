import { type LabelFields, OFFERED, readLabelPrint } from '#dialogs/understanding/label-print.ts';
import { type Grey, greyOf, sharpOf } from './grey.ts';
import type { Ocr } from './ocr.ts';
import { straightPrintApart } from './straight-thread.ts';

/** The second reading is of a smaller drawing: what is misread in one is seldom misread alike in the other. */
const SECOND_SIZE = 0.7;
const DPI = 300;

const drawn = (grey: Grey, size: number): Promise<Buffer> =>
  sharpOf(grey)
    .resize({ width: Math.round(grey.width * size) })
    .withMetadata({ density: DPI })
    .png({ compressionLevel: 1 })
    .toBuffer();

const offered = (fields: LabelFields): LabelFields =>
  Object.fromEntries(Object.entries(fields).filter(([, { confidence }]) => confidence >= OFFERED));

const rounded = (confidence: number): number => Math.round(confidence * 100) / 100;

/** What two readings of the same print say alike, with the mean of their confidences. */
export function alike(first: LabelFields, second: LabelFields): LabelFields {
  return Object.fromEntries(
    Object.entries(first).flatMap(([path, { value, confidence }]) => {
      const other = second[path];
      if (other?.value !== value) return [];
      return [[path, { value, confidence: rounded((confidence + other.confidence) / 2) }]];
    }),
  );
}

/**
 * Reads the print of a label (`straightPrint`): twice, and only what is read alike both times is offered. Empty where
 * nothing can be read with some certainty. Rejects when it takes longer than until `until` (`performance.now()`).
 */
export async function readPrint(
  print: Grey,
  ocr: Ocr,
  today: string,
  until = Number.POSITIVE_INFINITY,
): Promise<LabelFields> {
  const fieldsOf = async (grey: Grey, size: number): Promise<LabelFields> =>
    offered(readLabelPrint(await ocr.read(await drawn(grey, size), until - performance.now()), today));
  const upsideDown = () => greyOf(sharpOf(print).rotate(180));
  for (const upright of [async () => print, upsideDown]) {
    const grey = await upright();
    const first = await fieldsOf(grey, 1);
    if (Object.keys(first).length > 0) return alike(first, await fieldsOf(grey, SECOND_SIZE));
  }
  return {};
}

/** Reads a label from a photo that was taken in (`takePhoto`). Rejects when it takes too long. */
export const readLabel = async (jpeg: Buffer, ocr: Ocr, today: string): Promise<LabelFields> =>
  readPrint(await straightPrintApart(jpeg), ocr, today);
