import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll } from 'vitest';
import { type RunningServer, type StartOptions, startServer } from '../src/support/start-server.ts';
import { openBrowser } from './browser.ts';

export interface Served {
  readonly browser: Browser;
  /** Starts the server of one test; it stops, and every window closes, when the test ends. */
  start(options?: StartOptions): Promise<RunningServer>;
}

/** A browser for the tests of a file, and a server of its own for each of them. */
export function servedPages(): Served {
  let server: RunningServer;
  const served = {
    async start(options?: StartOptions) {
      server = await startServer(options);
      return server;
    },
  } as Served & { browser: Browser };
  beforeAll(async () => {
    served.browser = await openBrowser();
  });
  afterAll(() => served.browser.close());
  afterEach(async () => {
    await Promise.all(served.browser.contexts().map((context) => context.close()));
    await server.stop();
  });
  return served;
}
