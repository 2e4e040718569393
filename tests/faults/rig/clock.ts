import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const HOUR_MS = 60 * 60 * 1000;
const PRELOAD = pathToFileURL(join(import.meta.dirname, 'shifted-date.ts')).href;

/** A clock for services that can be set forward and back while they run; timers go on as they were. */
export function settableClock(folder: string) {
  const file = join(folder, 'clock');
  let hours = 0;
  const write = () => writeFileSync(file, String(Math.round(hours * HOUR_MS)).padEnd(20));
  write();
  return {
    settings: { NODE_OPTIONS: `--import=${PRELOAD}`, CLOCK_FILE: file },
    /** Negative: back. */
    jump(by: number) {
      hours += by;
      write();
    },
    hours: () => hours,
  };
}
