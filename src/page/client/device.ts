import type { Outgoing } from './api.ts';

/** What stays on the device between visits: the key of the conversation and what is not sent yet. */
export interface Kept {
  readonly key: string | null;
  readonly waiting: readonly Outgoing[];
  /** The language it was last held in, so that the page begins in it. */
  readonly language: string | null;
}

const NOTHING: Kept = { key: null, waiting: [], language: null };
/** A device may be handed from one walk-in to the next, so that each has a place of its own. */
const place = (event: string | null, walkIn: string | null) => `lapwing:${event ?? ''}${walkIn ? `~${walkIn}` : ''}`;

/** One conversation per event's link; a device that keeps nothing still works, without going on later. */
export function recall(event: string | null, walkIn: string | null): Kept {
  try {
    return { ...NOTHING, ...JSON.parse(localStorage.getItem(place(event, walkIn)) ?? '{}') };
  } catch {
    return NOTHING;
  }
}

export function keep(event: string | null, walkIn: string | null, kept: Kept): void {
  try {
    if (kept.key === null) localStorage.removeItem(place(event, walkIn));
    else localStorage.setItem(place(event, walkIn), JSON.stringify(kept));
  } catch {
    // Storage is full or forbidden: the conversation lives in this tab only.
  }
}

/** The part of a private link that no server and no log sees. */
const FRAGMENT = '#key=';

/** An address that opens the conversation on another device. */
export function privateLink(event: string | null, key: string): string {
  const query = event ? `?event=${encodeURIComponent(event)}` : '';
  return `${location.origin}/${query}${FRAGMENT}${key}`;
}

/** Takes the key out of a private link, so that it stays neither in the address bar nor in the history. */
export function takeLinkKey(): string | null {
  if (!location.hash.startsWith(FRAGMENT)) return null;
  const key = location.hash.slice(FRAGMENT.length);
  history.replaceState(null, '', location.pathname + location.search);
  return key;
}
