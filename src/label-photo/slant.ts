import type { Grey } from './grey.ts';

/**
 * How lines of print run across a picture, in pixels from its middle: a line that crosses the middle's upright at height t
 * has there the slope `slope + converging * t`, and all of them meet in one point, as lines that are parallel on the label do.
 */
export interface Slant {
  readonly slope: number;
  readonly converging: number;
  /** So far the strokes lean to the right for each pixel down, once the lines are level. */
  readonly lean: number;
  /** How sharply lines and gaps stand apart along the lines; of the same picture a higher one is surer. */
  readonly sharpness: number;
}

interface Ink {
  readonly x: Float32Array;
  readonly y: Float32Array;
  readonly size: number;
  readonly width: number;
  readonly height: number;
}

const DARK = 110;

/** Where the print's edges are, from the picture's middle: upper and lower ones, or left and right ones. */
function inkOf({ data, width, height }: Grey, edges: 'level' | 'upright'): Ink {
  const [x, y]: [number[], number[]] = [[], []];
  const step = edges === 'level' ? width : 1;
  for (let row = 1; row < height - 1; row++)
    for (let column = 1; column < width - 1; column++) {
      const at = row * width + column;
      const dark = (data[at] ?? 255) < DARK;
      // Of every dark area only its edges count, so that no black corner rules.
      if (!dark || ((data[at - step] ?? 0) < DARK && (data[at + step] ?? 0) < DARK)) continue;
      x.push(column - width / 2);
      y.push(row - height / 2);
    }
  return { x: Float32Array.from(x), y: Float32Array.from(y), size: x.length, width, height };
}

/** Puts one point of ink where it falls between two bins. */
function dropped(bins: Float64Array, place: number): void {
  const bin = Math.floor(place);
  if (bin < 0 || bin + 1 >= bins.length) return;
  const part = place - bin;
  bins[bin] = (bins[bin] ?? 0) + 1 - part;
  bins[bin + 1] = (bins[bin + 1] ?? 0) + part;
}

/** Sum of squared steps between bins; a step spans three, so that ink which happens to lie on the bins' own raster gains nothing. */
function unevenness(bins: Float64Array): number {
  let sum = 0;
  for (let bin = 5; bin < bins.length; bin++) {
    const three = (to: number): number => (bins[to] ?? 0) + (bins[to - 1] ?? 0) + (bins[to - 2] ?? 0);
    sum += (three(bin) - three(bin - 3)) ** 2;
  }
  return sum;
}

/** How unevenly the ink lies over lines that run in a certain way. */
function sharpnessOf(ink: Ink, slope: number, converging: number, lines: Float64Array): number {
  lines.fill(0);
  const middle = lines.length / 2;
  for (let i = 0; i < ink.size; i++) {
    const x = ink.x[i] ?? 0;
    dropped(lines, ((ink.y[i] ?? 0) - slope * x) / (1 + converging * x) + middle);
  }
  return unevenness(lines) / Math.max(1, ink.size) ** 2;
}

const STEEPEST = 0.36;
/** The nearer side of a label is drawn at most so much larger than its middle, the farther one smaller. */
const MOST_CONVERGING = 0.45;
const MOST_LEAN = 0.45;
/** About the height of a line in a picture of 640 pixels. */
const BAND = 12;

/** The strokes of single lines stand out most sharply over the columns where their lean is taken away. */
function leanOf(grey: Grey, slope: number, converging: number): number {
  const ink = inkOf(grey, 'upright');
  const bands = Math.ceil(ink.height / BAND) * 3;
  const across = ink.width * 2;
  const columns = new Float64Array(bands * across);
  const [x, y] = [new Float32Array(ink.size), new Float32Array(ink.size)];
  for (let i = 0; i < ink.size; i++) {
    const under = 1 + converging * (ink.x[i] ?? 0);
    x[i] = (ink.x[i] ?? 0) / under;
    y[i] = ((ink.y[i] ?? 0) - slope * (ink.x[i] ?? 0)) / under;
  }
  let best = { lean: 0, sharpness: -1 };
  for (let lean = -MOST_LEAN; lean <= MOST_LEAN; lean += 0.025) {
    columns.fill(0);
    for (let i = 0; i < ink.size; i++) {
      const band = Math.floor((y[i] ?? 0) / BAND) + Math.floor(bands / 2);
      const from = (y[i] ?? 0) - (Math.floor((y[i] ?? 0) / BAND) + 0.5) * BAND;
      const column = (x[i] ?? 0) - lean * from + across / 2;
      if (band >= 0 && band < bands && column >= 0 && column < across - 1) dropped(columns, band * across + column);
    }
    const sharpness = unevenness(columns);
    if (sharpness > best.sharpness) best = { lean, sharpness };
  }
  return best.lean;
}

/** The slant at which lines and gaps of a picture stand apart most sharply; the picture is some 640 pixels wide. */
export function slantOf(grey: Grey): Slant {
  const ink = inkOf(grey, 'level');
  const lines = new Float64Array(2 * Math.ceil(ink.height + STEEPEST * ink.width) + 2);
  const half = ink.width / 2;
  let best = { slope: 0, converging: 0, sharpness: sharpnessOf(ink, 0, 0, lines) };
  let [slopes, edges] = [STEEPEST, MOST_CONVERGING];
  let [stepSlope, stepEdge] = [0.012, 0.05];
  for (let round = 0; round < 3; round++) {
    const around = best;
    for (let slope = around.slope - slopes; slope <= around.slope + slopes; slope += stepSlope)
      for (let edge = -edges; edge <= edges; edge += stepEdge) {
        const converging = around.converging + edge / half;
        if (Math.abs(converging * half) > MOST_CONVERGING + 0.01) continue;
        const sharpness = sharpnessOf(ink, slope, converging, lines);
        if (sharpness > best.sharpness) best = { slope, converging, sharpness };
      }
    [slopes, edges] = [stepSlope, stepEdge];
    [stepSlope, stepEdge] = [stepSlope / 4, stepEdge / 4];
  }
  return { ...best, lean: leanOf(grey, best.slope, best.converging) };
}

/** The same print with level lines and upright strokes, drawn so that its middle keeps its size times `scale`. */
export function straightened(grey: Grey, { slope, converging, lean }: Omit<Slant, 'sharpness'>, scale = 1): Grey {
  const { data, width, height } = grey;
  const [middleX, middleY] = [width / 2, height / 2];
  // A shear alone would stretch the letters of a tilted picture: the lines keep the length they had along their slope.
  const long = Math.hypot(1, slope);
  const to = (px: number, py: number): readonly [number, number] => {
    const [x, y] = [px - middleX, py - middleY];
    const under = 1 + converging * x;
    const level = (y - slope * x) / under;
    return [(x / under - lean * level) * long * scale, (level / long) * scale];
  };
  const corners = [to(0, 0), to(width, 0), to(0, height), to(width, height)];
  const [left, top] = [0, 1].map((i) => Math.min(...corners.map((corner) => corner[i as 0 | 1]))) as [number, number];
  const [right, bottom] = [0, 1].map((i) => Math.max(...corners.map((corner) => corner[i as 0 | 1]))) as [
    number,
    number,
  ];
  const [wide, high] = [Math.max(1, Math.round(right - left)), Math.max(1, Math.round(bottom - top))];
  const out = new Uint8Array(wide * high).fill(255);
  for (let row = 0; row < high; row++) {
    const level = ((row + top) * long) / scale;
    for (let column = 0; column < wide; column++) {
      const across = (column + left) / long / scale + lean * level;
      const x = across / (1 - converging * across);
      const fx = x + middleX;
      const fy = level * (1 + converging * x) + slope * x + middleY;
      const [x0, y0] = [Math.floor(fx), Math.floor(fy)];
      if (x0 < 0 || y0 < 0 || x0 + 1 >= width || y0 + 1 >= height) continue;
      const [dx, dy, at] = [fx - x0, fy - y0, y0 * width + x0];
      out[row * wide + column] =
        ((data[at] ?? 0) * (1 - dx) + (data[at + 1] ?? 0) * dx) * (1 - dy) +
        ((data[at + width] ?? 0) * (1 - dx) + (data[at + width + 1] ?? 0) * dx) * dy;
    }
  }
  return { data: out, width: wide, height: high };
}
