import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { openBrowser, PHONE } from '../browser/browser.ts';
import { startProcess } from '../src/support/start-process.ts';

const RUNS = 7;
const ROUND_TRIP_MS = 400;
const BYTES_PER_SECOND = 400_000 / 8;
const CPU_SLOWDOWN = 4;

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const seconds = (ms: number): number => Math.round(ms / 10) / 100;

/** One visit on a slow phone: when the first question could be answered, and when the conversation was open. */
async function visit(browser: Browser, url: string): Promise<{ question: number; open: number; bytes: number }> {
  const context = await browser.newContext(PHONE);
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send('Network.enable');
  await devtools.send('Network.emulateNetworkConditions', {
    offline: false,
    latency: ROUND_TRIP_MS,
    downloadThroughput: BYTES_PER_SECOND,
    uploadThroughput: BYTES_PER_SECOND,
  });
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: CPU_SLOWDOWN });
  await page.addInitScript(() => {
    const seen = new MutationObserver(() => {
      if (!document.querySelector('.choice')) return;
      seen.disconnect();
      // The frame after the next one has been painted with it.
      requestAnimationFrame(() => requestAnimationFrame(() => performance.mark('question')));
    });
    seen.observe(document, { childList: true, subtree: true });
  });
  const opened = page.waitForResponse((response) => response.url().endsWith('/chat/start'));
  await page.goto(url);
  await (await opened).finished();
  const times = await page.evaluate(() => ({
    question: performance.getEntriesByName('question')[0]?.startTime ?? Number.NaN,
    open: (performance.getEntriesByType('resource') as PerformanceResourceTiming[]).find(({ name }) =>
      name.endsWith('/chat/start'),
    )?.responseEnd,
    bytes: (performance.getEntriesByType('navigation')[0] as PerformanceNavigationTiming).encodedBodySize,
  }));
  await context.close();
  return { ...times, open: times.open ?? Number.NaN };
}

/**
 * Seconds to the first question on a slow phone (400 ms a round trip, 400 kbit/s, a quarter of the processor). The
 * baseline is the same visit if the question came only with the opened conversation.
 */
export async function benchPage(): Promise<readonly object[]> {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-page-'));
  const [browser, service] = await Promise.all([openBrowser(), startProcess(dataDir)]);
  try {
    const visits = [];
    for (let run = 0; run < RUNS; run++) visits.push(await visit(browser, `${service.url}/?lang=en`));
    return [
      {
        bench: 'page: seconds to the first question on a slow phone',
        value: seconds(median(visits.map(({ question }) => question))),
        baseline: seconds(median(visits.map(({ open }) => open))),
        baselineIs: 'the same visit, until the conversation is open',
        compressedBytes: visits[0]?.bytes,
        runs: RUNS,
      },
    ];
  } finally {
    await browser.close();
    await service.end('SIGKILL');
    rmSync(dataDir, { recursive: true });
  }
}
