import type { Grey } from './grey.ts';

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

/** Between paper and print, in shades: that of all but the strongest places. */
export const contrastOf = (grey: Grey): number => shades(grey).contrast;
