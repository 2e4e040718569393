import type { ThreadEntry } from '#src/store/store.ts';

/** Begins the ids of lines that came out of the outbox. */
export const OUTBOX_LINE = 'o:';

/** True while the last words to the caregiver are a technician's: the bot's silent turns have no text. */
export const isAttended = (thread: readonly ThreadEntry[]): boolean =>
  thread.findLast(({ from, text }) => from === 'technician' || (from === 'bot' && text !== ''))?.from === 'technician';

/**
 * What was said to the caregiver between its last message and the one that `replyId` answers: for channels where nobody
 * can be written to out of turn. Nothing before the first message.
 */
export function unheardLines(thread: readonly ThreadEntry[], replyId: string): readonly ThreadEntry[] {
  // A message and its reply stand together.
  const before = thread.slice(0, Math.max(0, thread.findIndex(({ id }) => id === replyId) - 1));
  const last = before.findLastIndex(({ from }) => from === 'caregiver');
  if (last === -1) return [];
  return before
    .slice(last + 1)
    .filter(
      ({ id, from, text, replyTo }) =>
        text !== '' && (from === 'technician' || id.startsWith(OUTBOX_LINE) || (from === 'bot' && replyTo === null)),
    );
}
