import sharp from 'sharp';
import { printedPart, withoutFrames } from './frames.ts';
import { type Grey, greyOf, sharpOf } from './grey.ts';
import { blurOf, noiseOf } from './picture-faults.ts';
import { contrastOf, evened } from './shades.ts';
import { slantOf, straightened } from './slant.ts';

/** Photos from far away are enlarged to it. */
const WORKING_SIDE = 1800;
const SMALL_SIDE = 640;
/** Small print is enlarged at most so much again. */
const MOST_ENLARGED = 1.6;
const BORDER = 20;

/**
 * Noise, as a part of the contrast, from which on a picture is smoothed; by how much (pixels); and how much of the
 * contrast next to the paper is taken for noise. Set by `npm run -s labels`, as are those below.
 */
const SMOOTHING: readonly (readonly [number, number, number])[] = [
  [0.05, 1.7, 0.25],
  [0.015, 1, 0.1],
];

/** Edges that are smeared over more pixels than these are drawn together again. */
const BLURRED = 2.6;
const SHARPENING = 5;
const SHARPENED_OVER = 0.75;

async function sharpened(grey: Grey, blur: number): Promise<Grey> {
  const soft = await greyOf(sharpOf(grey).blur(blur * SHARPENED_OVER));
  const data = grey.data.map((shade, at) =>
    Math.max(0, Math.min(255, shade + SHARPENING * (shade - (soft.data[at] ?? 0)))),
  );
  return { ...grey, data };
}

/** Light and shade evened out; noise smoothed, or what is blurred sharpened where there is no noise to be sharpened with it. */
async function cleaned(raw: Grey): Promise<Grey> {
  const noise = noiseOf(raw) / Math.max(1, contrastOf(raw));
  const [, smoothing, clipped] = SMOOTHING.find(([least]) => noise >= least) ?? [];
  if (smoothing) return withoutFrames(evened(await greyOf(sharpOf(raw).blur(smoothing)), clipped));
  const blur = blurOf(raw);
  return withoutFrames(evened(blur > BLURRED ? await sharpened(raw, blur) : raw));
}

/** Lines of print made level, whether they run along the picture or up and down in it. */
async function levelled(grey: Grey): Promise<Grey> {
  const turned = await greyOf(sharpOf(grey).rotate(90));
  const [along, across] = await Promise.all(
    [grey, turned].map(async (picture) => {
      const small = await greyOf(sharpOf(picture), SMALL_SIDE);
      const slant = slantOf(small);
      return { picture, ...slant, converging: (slant.converging * small.width) / picture.width };
    }),
  );
  if (!along || !across) return grey;
  const { picture, ...slant } = along.sharpness >= across.sharpness ? along : across;
  return straightened(picture, slant);
}

/**
 * The print of a photo, dark on white, level, upright or upside down: light and shade evened out, noise smoothed, the
 * slant of the lines and their perspective taken away, and drawn as large as it is read best. It works for up to a second
 * without a pause.
 */
export async function straightPrint(jpeg: Uint8Array): Promise<Grey> {
  const level = await levelled(await cleaned(await greyOf(sharp(jpeg), WORKING_SIDE)));
  const part = printedPart(level);
  const scale = Math.min(MOST_ENLARGED, WORKING_SIDE / Math.max(part.width, part.height));
  const cut = await greyOf(sharpOf(level).extract(part));
  const sized = await greyOf(
    sharpOf(cut).resize({ width: Math.round(cut.width * scale), height: Math.round(cut.height * scale) }),
  );
  return greyOf(
    sharpOf(sized).extend({ background: 'white', top: BORDER, bottom: BORDER, left: BORDER, right: BORDER }),
  );
}
