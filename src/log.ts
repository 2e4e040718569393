import { type Logger, pino } from 'pino';

export type { Logger };

/**
 * The service's log: JSON lines on standard output (or `destination`).
 * Callers pass ids, routes, counts and durations; never a caregiver's words, names or contacts.
 */
export function createLog(level: string, destination?: { write(line: string): void }): Logger {
  const options = {
    level,
    base: null,
    timestamp: pino.stdTimeFunctions.isoTime,
    serializers: { err: safeError },
  };
  return destination ? pino(options, destination) : pino(options);
}

/** Name, code and stack frames; the message is left out, since it may quote what a person typed. */
function safeError(error: unknown): unknown {
  if (!(error instanceof Error)) return { name: typeof error };
  const frames = (error.stack ?? '').split('\n').filter((line) => line.trimStart().startsWith('at '));
  const code = (error as NodeJS.ErrnoException).code;
  return { name: error.name, ...(code && { code }), frames: frames.slice(0, 12) };
}
