import { mkdirSync } from 'node:fs';
import { enableCompileCache, flushCompileCache } from 'node:module';
import { join } from 'node:path';

/** When the service has long been ready. */
const FLUSH_MS = 10_000;

const dataDir = process.env.LAPWING_DATA_DIR || 'data';
try {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  // The next start finds every module compiled, and without its types: it takes half the time and less memory.
  enableCompileCache(join(dataDir, 'compiled'));
  setTimeout(flushCompileCache, FLUSH_MS).unref();
} catch {
  // What is wrong with the directory is said where it is needed.
}
await import('./main.ts');
