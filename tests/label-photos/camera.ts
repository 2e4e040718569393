import type { Page } from 'playwright-core';
import { openBrowser } from '../browser/browser.ts';
import { type Degradation, photographed } from './degradations.ts';
import type { Label } from './labels.ts';

const STYLE = `body{margin:0;background:#777}
main{position:relative;width:900px;padding:40px;box-sizing:border-box}
article{padding:26px 30px;line-height:1.45}
article h1{font-size:1.5em;margin:0 0 .4em} article h2{font-size:1.05em;margin:.5em 0 .1em} article p{margin:.25em 0 .45em}
table{border-collapse:collapse;width:100%;font-size:.86em} th,td{padding:.4em .5em;text-align:left}
.cols{display:flex;gap:36px} .cols>div{flex:1;font-size:.82em}
.over{position:absolute;inset:0}`;

export interface Camera {
  /** A photo of a label as a JPEG file. */
  readonly shoot: (label: Label, degradation: Degradation, seed: number) => Promise<Buffer>;
  readonly close: () => Promise<void>;
}

/** Renders labels in the tests' Chromium, with its own font and those of the machine. */
export async function openCamera(): Promise<Camera> {
  const browser = await openBrowser();
  const page: Page = await browser.newPage({ viewport: { width: 900, height: 700 }, deviceScaleFactor: 2 });
  return {
    async shoot({ html }, degradation, seed) {
      const { label = '', over } = degradation;
      await page.setContent(
        `<style>${STYLE} article{${label}}</style><main>${html}${over ? `<div class="over" style="${over}"></div>` : ''}</main>`,
      );
      const png = await page.locator('main').screenshot({ type: 'png' });
      return photographed(png, degradation, seed);
    },
    close: () => browser.close(),
  };
}
