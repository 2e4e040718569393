import type { ThreadEntry } from '#src/store/store.ts';

/** True while the last words to the caregiver are a technician's: the bot's silent turns have no text. */
export const isAttended = (thread: readonly ThreadEntry[]): boolean =>
  thread.findLast(({ from, text }) => from === 'technician' || (from === 'bot' && text !== ''))?.from === 'technician';
