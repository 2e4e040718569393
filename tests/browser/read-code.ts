import jsqr from 'jsqr';
import type { Page } from 'playwright-core';
import sharp from 'sharp';

// A CommonJS package, whose own default is the function.
const decode = jsqr as unknown as typeof jsqr.default;

/** What a phone's camera reads of what a page shows; null where it finds no code. */
export async function readCode(page: Page): Promise<string | null> {
  const { data, info } = await sharp(await page.screenshot({ fullPage: true }))
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return decode(new Uint8ClampedArray(data), info.width, info.height)?.data ?? null;
}
