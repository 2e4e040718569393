import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { leftAfter, realTurns } from './real-turns.ts';

// Run with --expose-gc; prints the bytes of heap that a conversation nobody is writing in takes.
const FEW = 300;
const MANY = 2300;
const AT_ONCE = 20;
const SAID = ['yes', '1', '2 years'];

const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-sleeping-'));
const real = await realTurns(dataDir);
let next = 0;

async function sleepUntil(count: number): Promise<number> {
  await Promise.all(
    Array.from({ length: AT_ONCE }, async () => {
      while (next < count) await leftAfter(real, `sleeping ${next++}`, SAID);
    }),
  );
  for (let times = 0; times < 3; times++) {
    globalThis.gc?.();
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return process.memoryUsage().heapUsed;
}

const few = await sleepUntil(FEW);
const many = await sleepUntil(MANY);
process.stdout.write(JSON.stringify({ few, many, bytesEach: Math.round((many - few) / (MANY - FEW)) }));
await real.close();
rmSync(dataDir, { recursive: true });
