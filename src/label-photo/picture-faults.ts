import type { Grey } from './grey.ts';
import { contrastOf } from './shades.ts';

/**
 * The spread of the sensor's noise in shades: the mean answer to a mask that is blind to flat areas and to straight edges
 * (Immerkær, "Fast Noise Variance Estimation", 1996), of the calmest quarter of the picture, where there is least print.
 */
export function noiseOf({ data, width, height }: Grey): number {
  const BLOCK = 16;
  const found: number[] = [];
  for (let top = 1; top + BLOCK < height; top += BLOCK)
    for (let left = 1; left + BLOCK < width; left += BLOCK) {
      let sum = 0;
      for (let y = top; y < top + BLOCK; y++)
        for (let x = left; x < left + BLOCK; x++) {
          const at = y * width + x;
          const p = (dx: number, dy: number): number => data[at + dy * width + dx] ?? 0;
          sum += Math.abs(
            p(-1, -1) -
              2 * p(0, -1) +
              p(1, -1) -
              2 * p(-1, 0) +
              4 * p(0, 0) -
              2 * p(1, 0) +
              p(-1, 1) -
              2 * p(0, 1) +
              p(1, 1),
          );
        }
      found.push((Math.sqrt(Math.PI / 2) * sum) / (6 * BLOCK * BLOCK));
    }
  found.sort((a, b) => a - b);
  return found[Math.floor(found.length / 4)] ?? 0;
}

/** So large a part of the pixels stands on a steep edge of print. */
const STEEPEST_PART = 0.004;

/** How far edges are smeared, in pixels (as the spread of a bell), by how steep the steepest are. */
export function blurOf(grey: Grey): number {
  const { data, width } = grey;
  const counts = new Uint32Array(256);
  for (let at = 1; at < data.length; at++) {
    if (at % width === 0) continue;
    const step = Math.abs((data[at] ?? 0) - (data[at - 1] ?? 0));
    counts[step] = (counts[step] ?? 0) + 1;
  }
  let left = data.length * STEEPEST_PART;
  let steepest = 255;
  while (steepest > 1 && left > 0) left -= counts[steepest--] ?? 0;
  return contrastOf(grey) / (Math.sqrt(2 * Math.PI) * steepest);
}
