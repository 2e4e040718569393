import sharp from 'sharp';
import { expect, it } from 'vitest';
import { greyOf, sharpOf } from '#src/label-photo/grey.ts';
import { slantOf, straightened } from '#src/label-photo/slant.ts';

/** A page of level lines made of upright strokes, as print is. */
const WIDTH = 640;
const HEIGHT = 480;
const strokes = Array.from({ length: 18 }, (_, line) =>
  Array.from({ length: 60 - (line % 4) * 7 }, (_, i) => [40 + i * 9, 50 + line * 21] as const),
).flat();

/** The page as a camera sees it: every point of the page goes where `seen` says. */
function photoOf(seen: (x: number, y: number) => readonly [number, number]) {
  const corner = (x: number, y: number) => {
    const [u, v] = seen(x - WIDTH / 2, y - HEIGHT / 2);
    return `${u + WIDTH / 2},${v + HEIGHT / 2}`;
  };
  const drawn = strokes.map(
    ([x, y]) => `<polygon points="${corner(x, y)} ${corner(x + 4, y)} ${corner(x + 4, y + 10)} ${corner(x, y + 10)}"/>`,
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}"><rect width="100%" height="100%" fill="#fff"/>${drawn.join('')}</svg>`;
  return greyOf(sharp(Buffer.from(svg)));
}

// What is checked against: a turn by an angle gives lines the slope of its tangent; a pinhole camera draws lines that are
// parallel on the page towards one point (projective geometry).
it.each([-15, 0, 2, 12])('finds by how much print is tilted, and takes it away: %d°', async (degrees) => {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const photo = await photoOf((x, y) => [x * cos - y * sin, x * sin + y * cos]);
  const found = slantOf(photo);
  expect(found.slope).toBeCloseTo(sin / cos, 2);
  expect(Math.abs(found.converging) * WIDTH).toBeLessThan(0.03);
  const again = slantOf(await greyOf(sharpOf(straightened(photo, found)), WIDTH));
  expect(Math.abs(again.slope)).toBeLessThan(0.004);
});

it.each([-0.3, 0.25])(
  'finds to what point lines of a label seen from the side run, and draws them level: %d',
  async (nearer) => {
    const bend = nearer / (WIDTH / 2);
    // Of the page's point (x, y) the photo's is (x, y) / (1 - bend x): a line at height t has the slope bend t.
    const photo = await photoOf((x, y) => [x / (1 - bend * x), y / (1 - bend * x)]);
    const found = slantOf(photo);
    expect(found.converging * (WIDTH / 2)).toBeCloseTo(nearer, 1);
    const again = slantOf(await greyOf(sharpOf(straightened(photo, found)), WIDTH));
    expect(Math.abs(again.converging) * (WIDTH / 2)).toBeLessThan(0.04);
  },
);

it('knows lines that run up and down from lines that run along', async () => {
  const photo = await photoOf((x, y) => [x, y]);
  const turned = await greyOf(sharpOf(photo).rotate(90));
  expect(slantOf(photo).sharpness).toBeGreaterThan(2 * slantOf(turned).sharpness);
});
