import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';

/** A new directory that goes away with the test. */
export function aDataDir(): string {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-store-'));
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
  return dataDir;
}

export const NOON = new Date('2026-05-16T12:00:00.000Z');

/** A store on a real file, closed with the test. */
export async function aStore(dataDir = aDataDir(), clock = () => NOON): Promise<Store> {
  const store = await openStore({ dataDir, clock });
  onTestFinished(() => store.close());
  return store;
}
