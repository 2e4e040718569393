import sharp from 'sharp';
import { type LabelFields, OFFERED, readLabelPrint } from '#dialogs/understanding/label-print.ts';
import type { Ocr } from './ocr.ts';

/** Print is read best when a line of it is some 30 pixels high; photos from far away are enlarged. */
const WORKING_WIDTH = 1800;

const prepared = (jpeg: Buffer, turn: number): Promise<Buffer> =>
  sharp(jpeg)
    .rotate(turn, { background: 'white' })
    .resize({ width: WORKING_WIDTH, height: WORKING_WIDTH, fit: 'inside' })
    .greyscale()
    .clahe({ width: 120, height: 120, maxSlope: 3 })
    .normalise()
    .png({ compressionLevel: 1 })
    .toBuffer();

const offered = (fields: LabelFields): LabelFields =>
  Object.fromEntries(
    Object.entries(fields)
      .filter(([, { confidence }]) => confidence >= OFFERED)
      .map(([path, { value, confidence }]) => [path, { value, confidence: Math.round(confidence * 100) / 100 }]),
  );

const TURNS = [0, 90, 270, 180];

/** Reads a label from a photo that was taken in (`takePhoto`); empty where nothing can be read with some certainty. */
export async function readLabel(jpeg: Buffer, ocr: Ocr, today: string): Promise<LabelFields> {
  for (const turn of TURNS) {
    const fields = offered(readLabelPrint(await ocr.read(await prepared(jpeg, turn)), today));
    if (Object.keys(fields).length > 0) return fields;
  }
  return {};
}
