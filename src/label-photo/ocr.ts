import { fileURLToPath } from 'node:url';
import { createWorker, OEM, PSM, type Worker } from 'tesseract.js';
import type { PrintedLine } from '#dialogs/understanding/label-lines.ts';

/** The print on labels sold in North America. */
const LANGUAGES = ['eng', 'spa', 'fra'];
const IDLE_MS = 60_000;
/** A picture that takes longer is given up, with the thread that reads it. */
export const LONGEST_READING_MS = 20_000;

export interface Ocr {
  /** Lines of words with confidences from 0 to 1. Rejects after `LONGEST_READING_MS`, or sooner, or when the thread dies. */
  readonly read: (image: Buffer, withinMs?: number) => Promise<readonly PrintedLine[]>;
  readonly close: () => Promise<void>;
}

const start = (): Promise<Worker> =>
  createWorker(LANGUAGES, OEM.LSTM_ONLY, {
    workerPath: fileURLToPath(new URL('./ocr-worker.ts', import.meta.url)),
    langPath: '.',
    cacheMethod: 'none',
    // Without it a failed picture is thrown where nobody can catch it.
    errorHandler: () => {},
  });

async function lines(worker: Worker, image: Buffer): Promise<readonly PrintedLine[]> {
  const { data } = await worker.recognize(image, {}, { text: false, blocks: true });
  return (data.blocks ?? []).flatMap(({ paragraphs }) =>
    paragraphs.flatMap((paragraph) =>
      paragraph.lines.map(({ words }) => words.map(({ text, confidence }) => ({ text, confidence: confidence / 100 }))),
    ),
  );
}

/** A reader of print in a thread of its own, which starts with the first picture and ends when none came for a minute. */
export function createOcr(): Ocr {
  let starting: Promise<Worker> | null = null;
  let idle: NodeJS.Timeout | undefined;

  const close = async (): Promise<void> => {
    clearTimeout(idle);
    const ending = starting;
    starting = null;
    await (await ending?.catch(() => null))?.terminate();
  };

  const within = async <T>(work: Promise<T>, limitMs: number): Promise<T> => {
    let late: NodeJS.Timeout | undefined;
    const timeout = new Promise<never>((_, reject) => {
      late = setTimeout(() => reject(new Error('reading took too long')), limitMs);
    });
    try {
      return await Promise.race([work, timeout]);
    } finally {
      clearTimeout(late);
    }
  };

  return {
    close,
    async read(image, withinMs = LONGEST_READING_MS) {
      if (withinMs <= 0) throw new Error('reading took too long');
      clearTimeout(idle);
      starting ??= start().then(async (worker) => {
        await worker.setParameters({ tessedit_pageseg_mode: PSM.AUTO, preserve_interword_spaces: '0' });
        return worker;
      });
      const worker = starting;
      try {
        return await within(
          worker.then((ready) => lines(ready, image)),
          Math.min(withinMs, LONGEST_READING_MS),
        );
      } catch (error) {
        // It may still be at work, or dead: the next picture gets another thread.
        await close();
        throw error;
      } finally {
        clearTimeout(idle);
        idle = setTimeout(close, IDLE_MS);
        idle.unref();
      }
    },
  };
}
