import type { Grey } from './grey.ts';

const DARK = 140;
/** So far from a dark area its soft edge goes, in pixels. */
const SOFT = 3;
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
