import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { basename } from 'node:path';
import { parentPort } from 'node:worker_threads';

/**
 * The thread in which print is read. It is the library's own worker, but for where its data comes from: the packages
 * that are installed, and nowhere else.
 */
const require = createRequire(import.meta.url);
const worker = require('tesseract.js/src/worker-script/index.js');
const getCore = require('tesseract.js/src/worker-script/node/getCore.js');
const gunzip = require('tesseract.js/src/worker-script/node/gunzip.js');

/** `anywhere/spa.traineddata.gz` is the Spanish package's. */
const installed = (path: string): Promise<Buffer> => {
  const language = basename(path).split('.')[0];
  return readFile(require.resolve(`@tesseract.js-data/${language}/4.0.0_best_int/${language}.traineddata.gz`));
};

worker.setAdapter({
  getCore,
  gunzip,
  readCache: installed,
  writeCache: async () => {},
  deleteCache: async () => {},
  checkCache: async () => true,
  fetch: async () => {
    throw new Error('this thread has no network');
  },
});

parentPort?.on('message', (packet) => {
  worker.dispatchHandlers(packet, (answer: unknown) => parentPort?.postMessage(answer));
});
