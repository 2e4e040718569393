import type { Outgoing } from './api.ts';

/** What stays on the device between visits: the key of the conversation and what is not sent yet. */
export interface Kept {
  readonly key: string | null;
  readonly waiting: readonly Outgoing[];
}

const NOTHING: Kept = { key: null, waiting: [] };
const place = (event: string | null) => `lapwing:${event ?? ''}`;

/** One conversation per event's link; a device that keeps nothing still works, without going on later. */
export function recall(event: string | null): Kept {
  try {
    return { ...NOTHING, ...JSON.parse(localStorage.getItem(place(event)) ?? '{}') };
  } catch {
    return NOTHING;
  }
}

export function keep(event: string | null, kept: Kept): void {
  try {
    if (kept.key === null) localStorage.removeItem(place(event));
    else localStorage.setItem(place(event), JSON.stringify(kept));
  } catch {
    // Storage is full or forbidden: the conversation lives in this tab only.
  }
}
