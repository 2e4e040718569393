import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder that goes away with the test. */
export function aFolder(name: string): string {
  const folder = mkdtempSync(join(tmpdir(), `lapwing-${name}-`));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
