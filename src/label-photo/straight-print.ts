import sharp from 'sharp';
import { evened, type Grey, greyOf, noiseOf, printedPart, sharpOf, withoutFrames } from './grey.ts';
import { slantOf, straightened } from './slant.ts';

/** Photos from far away are enlarged to it. */
const WORKING_SIDE = 1800;
const SMALL_SIDE = 640;
/** Noise, in shades, from which on a picture is smoothed, and by how much (pixels). */
const SMOOTHING: readonly (readonly [number, number])[] = [
  [20, 2.4],
  [7, 2],
  [3, 1.2],
];

/**
 * The print of a photo, black on white, level and upright or upside down: light and shade evened out, noise smoothed, the
 * slant of the lines and their perspective taken away, and drawn as large as it is read best.
 */
export async function straightPrint(jpeg: Buffer): Promise<Grey> {
  const raw = await greyOf(sharp(jpeg), WORKING_SIDE);
  const noise = noiseOf(raw);
  const smoothing = SMOOTHING.find(([least]) => noise >= least)?.[1];
  const smooth = smoothing ? await greyOf(sharpOf(raw).blur(smoothing)) : raw;
  const even = withoutFrames(evened(smooth));
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
