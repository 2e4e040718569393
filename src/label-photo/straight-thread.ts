import { Worker } from 'node:worker_threads';
import type { Grey } from './grey.ts';

/** A photo that takes longer is given up, with the thread that straightens it. */
const LONGEST_MS = 10_000;
const MOST_MEMORY_MB = 256;

/** `straightPrint` in a thread of its own, so that no turn waits for it. Rejects when it takes longer than `withinMs`. */
export async function straightPrintApart(jpeg: Buffer, withinMs = LONGEST_MS): Promise<Grey> {
  if (withinMs <= 0) throw new Error('reading took too long');
  const thread = new Worker(new URL('./straight-worker.ts', import.meta.url), {
    workerData: jpeg,
    resourceLimits: { maxOldGenerationSizeMb: MOST_MEMORY_MB },
  });
  let late: NodeJS.Timeout | undefined;
  try {
    return await new Promise<Grey>((resolve, reject) => {
      late = setTimeout(() => reject(new Error('reading took too long')), Math.min(withinMs, LONGEST_MS));
      thread.once('message', resolve);
      thread.once('error', reject);
      thread.once('exit', () => reject(new Error('the thread ended')));
    });
  } finally {
    clearTimeout(late);
    await thread.terminate();
  }
}
