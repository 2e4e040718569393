import type { Found } from './found.ts';
import type { Scope } from './scope.ts';
import type { ReadContext, ReadRequest } from './types.ts';
import type { Message } from './words.ts';

/** One message, and what it answers. */
export interface Turn {
  readonly message: Message;
  readonly scope: Scope;
  readonly request: ReadRequest;
  readonly context: ReadContext;
  readonly today: string;
}

/** Set where any part of a reading is to be read back. */
export interface Doubt {
  doubtful: boolean;
}

/** A found value, its doubt added to that of the whole reading. */
export const take = <T>(found: Found<T> | null, doubt: Doubt): T | undefined => {
  if (!found) return undefined;
  if (found.doubtful) doubt.doubtful = true;
  return found.value;
};
