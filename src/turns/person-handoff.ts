/** The states that the Bot Framework's documentation names for a `handoff.status` event. */
export type HandoffState = 'accepted' | 'failed' | 'completed';

const STATES: readonly string[] = ['accepted', 'failed', 'completed'] satisfies HandoffState[];

/** The state in the value of a `handoff.status` event; null for anything else. */
export function handoffState(value: unknown): HandoffState | null {
  const state = (value as { state?: unknown } | null | undefined)?.state;
  return typeof state === 'string' && STATES.includes(state) ? (state as HandoffState) : null;
}
