import chromium from '@sparticuz/chromium';
import { type Browser, chromium as driver, type Page } from 'playwright-core';

/** A small phone of today, in CSS pixels. */
export const PHONE = { viewport: { width: 360, height: 740 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };
export const DESKTOP = { viewport: { width: 1280, height: 800 } };

/** Headless Chromium out of the npm package; runs as root too. The caller closes it. */
export async function openBrowser(flags: readonly string[] = []): Promise<Browser> {
  return driver.launch({
    executablePath: await chromium.executablePath(),
    // The package's flags are for one-shot functions; these are what a container without a user namespace needs.
    args: ['--no-sandbox', '--disable-setuid-sandbox', '--disable-dev-shm-usage', '--disable-gpu', ...flags],
  });
}

/** What a page complained of: script errors, refused content, failed requests. */
export function complaints(page: Page): string[] {
  const heard: string[] = [];
  page.on('pageerror', (error) => heard.push(`error: ${error.message}`));
  page.on('console', (message) => {
    if (message.type() === 'error') heard.push(`console: ${message.text()}`);
  });
  return heard;
}
