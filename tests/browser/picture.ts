import { mkdirSync } from 'node:fs';
import type { Page } from 'playwright-core';
import sharp from 'sharp';

const FOLDER = new URL('pictures/', import.meta.url);
/** Pixels; what README shows is no wider. */
const WIDEST = 900;
const COLOURS = 24;

/** Takes a picture of what a page shows, or of a part of it, for README where the run is asked for pictures (`LAPWING_PICTURES`); else it does nothing. */
export async function picture(page: Page, name: string, part?: string): Promise<void> {
  if (!process.env.LAPWING_PICTURES) return;
  mkdirSync(FOLDER, { recursive: true });
  await page.evaluate(() => window.scrollTo(0, 0));
  await sharp(await (part ? page.locator(part).screenshot() : page.screenshot()))
    .resize({ width: WIDEST, withoutEnlargement: true })
    .png({ palette: true, colours: COLOURS, dither: 0, compressionLevel: 9 })
    .toFile(new URL(`${name}.png`, FOLDER).pathname);
}
