import { appendFileSync } from 'node:fs';

const LINES = process.env.LAPWING_SOAK_LINES;

/** The long form of the faults, by `npm run soak`; `npm test` runs the short one. */
export const LONG = LINES !== undefined;

/** A test's time limit: nothing waits for it unless something hangs. */
export const LIMIT_MS = LONG ? 3_600_000 : 240_000;

/** Prints what a scenario counted, as a JSON line. */
export function tell(scenario: string, counts: Readonly<Record<string, unknown>>): void {
  const line = `${JSON.stringify({ scenario, form: LONG ? 'long' : 'short', ...counts })}\n`;
  if (LINES) appendFileSync(LINES, line);
  process.stdout.write(line);
}
