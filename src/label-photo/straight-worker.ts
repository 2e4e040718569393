import { parentPort, workerData } from 'node:worker_threads';
import { straightPrint } from './straight-print.ts';

/** The thread in which one photo is straightened; it ends with it. */
parentPort?.postMessage(await straightPrint(workerData));
