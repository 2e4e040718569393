import sharp, { type Sharp } from 'sharp';

/** A picture in shades of grey, row after row, 0 black to 255 white. */
export interface Grey {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}

export const sharpOf = ({ data, width, height }: Grey): Sharp => sharp(data, { raw: { width, height, channels: 1 } });

/** A picture of at most `side` pixels on its longer side; a smaller one is enlarged to it. */
export async function greyOf(picture: Sharp, side?: number): Promise<Grey> {
  const sized = side === undefined ? picture : picture.resize({ width: side, height: side, fit: 'inside' });
  const { data, info } = await sized.greyscale().raw().toBuffer({ resolveWithObject: true });
  return { data, width: info.width, height: info.height };
}

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

const BLOCK = 16;

/** The darkest and lightest shades around each block of the picture, smoothed. */
function shades({ data, width, height }: Grey) {
  const [across, down] = [Math.ceil(width / BLOCK), Math.ceil(height / BLOCK)];
  const low = new Float32Array(across * down);
  const high = new Float32Array(across * down);
  const counts = new Uint32Array(256);
  for (let by = 0; by < down; by++)
    for (let bx = 0; bx < across; bx++) {
      counts.fill(0);
      const [right, bottom] = [Math.min(width, (bx + 1) * BLOCK), Math.min(height, (by + 1) * BLOCK)];
      for (let y = by * BLOCK; y < bottom; y++)
        for (let x = bx * BLOCK; x < right; x++) {
          const shade = data[y * width + x] ?? 0;
          counts[shade] = (counts[shade] ?? 0) + 1;
        }
      const all = (right - bx * BLOCK) * (bottom - by * BLOCK);
      const shadeAt = (part: number): number => {
        let left = part * all;
        for (let shade = 0; shade < 256; shade++) {
          left -= counts[shade] ?? 0;
          if (left < 0) return shade;
        }
        return 255;
      };
      low[by * across + bx] = shadeAt(0.03);
      high[by * across + bx] = shadeAt(0.6);
    }
  const around = (from: Float32Array, reach: number, of: (values: readonly number[]) => number): Float32Array =>
    from.map((_, i) => {
      const [cx, cy] = [i % across, Math.floor(i / across)];
      const values: number[] = [];
      for (let y = Math.max(0, cy - reach); y <= Math.min(down - 1, cy + reach); y++)
        for (let x = Math.max(0, cx - reach); x <= Math.min(across - 1, cx + reach); x++)
          values.push(from[y * across + x] ?? 0);
      return of(values);
    });
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const lowest = around(
    around(low, 2, (values) => Math.min(...values)),
    2,
    mean,
  );
  const highest = around(
    around(high, 1, (values) => Math.max(...values)),
    1,
    mean,
  );
  const contrasts = highest.map((shade, i) => shade - (lowest[i] ?? 0)).sort();
  return { across, low: lowest, high: highest, contrast: contrasts[Math.floor(contrasts.length * 0.9)] ?? 0 };
}

/** Of the picture's own contrast so much must be there for a place to be stretched by all of it: the rest is blank. */
const LEAST_CONTRAST = 0.5;

/**
 * Evens out light and shade: the paper around becomes white, the darkest black, and blank areas stay blank. `clipped` is
 * the part of the contrast next to the paper that becomes white too, with the noise that is in it.
 */
export function evened(grey: Grey, clipped = 0): Grey {
  const { data, width, height } = grey;
  const { across, low, high, contrast } = shades(grey);
  const least = Math.max(4, contrast * LEAST_CONTRAST);
  const out = new Uint8Array(data.length);
  const down = high.length / across;
  for (let y = 0; y < height; y++) {
    const fy = Math.min(down - 1, Math.max(0, y / BLOCK - 0.5));
    const [y0, dy] = [Math.floor(fy), fy % 1];
    const y1 = Math.min(down - 1, y0 + 1);
    for (let x = 0; x < width; x++) {
      const fx = Math.min(across - 1, Math.max(0, x / BLOCK - 0.5));
      const x0 = Math.floor(fx);
      const dx = fx - x0;
      const x1 = Math.min(across - 1, x0 + 1);
      const mixed = (of: Float32Array): number =>
        ((of[y0 * across + x0] ?? 0) * (1 - dx) + (of[y0 * across + x1] ?? 0) * dx) * (1 - dy) +
        ((of[y1 * across + x0] ?? 0) * (1 - dx) + (of[y1 * across + x1] ?? 0) * dx) * dy;
      const paper = mixed(high);
      const bottom = Math.min(mixed(low), paper - least);
      const top = paper - clipped * (paper - bottom);
      const at = y * width + x;
      out[at] = Math.max(0, Math.min(255, (255 * ((data[at] ?? 0) - bottom)) / (top - bottom)));
    }
  }
  return { data: out, width, height };
}

const DARK = 140;
/** No letter of a label is so high, by the height of the picture. */
const TALLEST = 0.2;

/** Blanks dark areas that are too tall for letters: what surrounds the label, frames and drawings. */
export function withoutFrames({ data, width, height }: Grey): Grey {
  const out = Uint8Array.from(data);
  const seen = new Uint8Array(data.length);
  const queue = new Int32Array(data.length);
  for (let start = 0; start < data.length; start++) {
    if (seen[start] || (data[start] ?? 255) >= DARK) continue;
    let [from, to, top, bottom] = [0, 1, height, 0];
    queue[0] = start;
    seen[start] = 1;
    while (from < to) {
      const at = queue[from++] ?? 0;
      const row = Math.floor(at / width);
      const column = at - row * width;
      top = Math.min(top, row);
      bottom = Math.max(bottom, row);
      for (const next of [column > 0 ? at - 1 : at, column + 1 < width ? at + 1 : at, at - width, at + width])
        if (next >= 0 && next < data.length && !seen[next] && (data[next] ?? 255) < DARK) {
          seen[next] = 1;
          queue[to++] = next;
        }
    }
    if (bottom - top < TALLEST * height) continue;
    for (let i = 0; i < to; i++) {
      const at = queue[i] ?? 0;
      // With its soft edge.
      for (let dy = -SOFT; dy <= SOFT; dy++)
        out.fill(255, Math.max(0, at + dy * width - SOFT), Math.max(0, at + dy * width + SOFT + 1));
    }
  }
  return { data: out, width, height };
}
const SOFT = 3;

/** The part of the picture that has print, with some margin. */
export function printedPart({ data, width, height }: Grey): {
  left: number;
  top: number;
  width: number;
  height: number;
} {
  const [rows, columns] = [new Uint32Array(height), new Uint32Array(width)];
  for (let at = 0; at < data.length; at++)
    if ((data[at] ?? 255) < DARK) {
      const row = Math.floor(at / width);
      rows[row] = (rows[row] ?? 0) + 1;
      columns[at - row * width] = (columns[at - row * width] ?? 0) + 1;
    }
  const ends = (counts: Uint32Array): readonly [number, number] => {
    const first = counts.findIndex((count) => count > 2);
    const last = counts.findLastIndex((count) => count > 2);
    return first < 0 ? [0, counts.length] : [first, last + 1];
  };
  const [[top, bottom], [left, right]] = [ends(rows), ends(columns)];
  const margin = Math.round(0.02 * Math.max(width, height));
  const [x, y] = [Math.max(0, left - margin), Math.max(0, top - margin)];
  return { left: x, top: y, width: Math.min(width, right + margin) - x, height: Math.min(height, bottom + margin) - y };
}

/** Between paper and print, in shades: that of all but the strongest places. */
export const contrastOf = (grey: Grey): number => shades(grey).contrast;

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
const STEEPEST_PART = 0.004;
