import sharp from 'sharp';
import { blurOf, contrastOf, evened, type Grey, greyOf, noiseOf, printedPart, sharpOf, withoutFrames } from './grey.ts';
import { slantOf, straightened } from './slant.ts';

/** Photos from far away are enlarged to it. */
const WORKING_SIDE = 1800;
const SMALL_SIDE = 640;
/**
 * Noise, as a part of the contrast, from which on a picture is smoothed; by how much (pixels); and how much of the
 * contrast next to the paper is taken for noise.
 */
const SMOOTHING: readonly (readonly [number, number, number])[] = [
  [0.05, 1.7, 0.25],
  [0.015, 1, 0.1],
];

const BLURRED = 2.6;

/** Takes smeared edges together again, as far as there is no noise to be taken for edges. */
async function sharpened(grey: Grey, blur: number): Promise<Grey> {
  const soft = await greyOf(sharpOf(grey).blur(blur * Number(process.env.SB ?? 1.2)));
  const data = grey.data.map((shade, at) =>
    Math.max(0, Math.min(255, shade + SHARPENING * (shade - (soft.data[at] ?? 0)))),
  );
  return { ...grey, data };
}
const SHARPENING = Number(process.env.SH ?? 2.5);

/**
 * The print of a photo, black on white, level and upright or upside down: light and shade evened out, noise smoothed, the
 * slant of the lines and their perspective taken away, and drawn as large as it is read best.
 */
export async function straightPrint(jpeg: Buffer): Promise<Grey> {
  const raw = await greyOf(sharp(jpeg), WORKING_SIDE);
  const noise = noiseOf(raw) / Math.max(1, contrastOf(raw));
  const [, smoothing, clipped = 0] = SMOOTHING.find(([least]) => noise >= least) ?? [];
  const blur = smoothing ? 0 : blurOf(raw);
  const smooth = smoothing
    ? await greyOf(sharpOf(raw).blur(smoothing))
    : blur > BLURRED
      ? await sharpened(raw, blur)
      : raw;
  if (process.env.DBG) console.log('noise', noise.toFixed(3), 'blur', blurOf(raw).toFixed(2), smoothing);
  const even = withoutFrames(evened(smooth, clipped));
  const small = await greyOf(sharpOf(even), SMALL_SIDE);
  const turned = await greyOf(sharpOf(even).rotate(90));
  const smallTurned = await greyOf(sharpOf(turned), SMALL_SIDE);
  const [slant, slantTurned] = [slantOf(small), slantOf(smallTurned)];
  const [upright, best, from] =
    slant.sharpness >= slantTurned.sharpness ? [even, slant, small] : [turned, slantTurned, smallTurned];
  const converging = (best.converging * from.width) / upright.width;
  const level = straightened(upright, { ...best, converging });
  const part = printedPart(level);
  const scale = Math.min(1.6, WORKING_SIDE / Math.max(part.width, part.height));
  const size = { width: Math.round(part.width * scale), height: Math.round(part.height * scale) };
  const border = { background: 'white', top: 20, bottom: 20, left: 20, right: 20 };
  const cut = await greyOf(sharpOf(level).extract(part));
  return greyOf(sharp(await sharpOf(cut).resize(size).extend(border).png({ compressionLevel: 1 }).toBuffer()));
}
