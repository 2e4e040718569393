import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { openBrowser } from './browser.ts';

/** A browser and the whole service with a data directory of its own, there while the tests of a file run. */
export function openedService(): { readonly browser: Browser; readonly service: ServiceProcess } {
  const opened = {} as { browser: Browser; service: ServiceProcess };
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-browser-'));
  beforeAll(async () => {
    [opened.browser, opened.service] = await Promise.all([openBrowser(), startProcess(dataDir)]);
  });
  afterAll(async () => {
    await opened.browser.close();
    await opened.service.end('SIGKILL');
    rmSync(dataDir, { recursive: true });
  });
  return opened;
}
