import type { FieldCipher } from '#src/protection/field-cipher.ts';

/** Carries a form that came without a session through the sign-in: sealed, since it holds what was recorded. */
export interface KeptEntries {
  keep(fields: URLSearchParams): string;
  /** Null for what this service did not seal, or did not seal whole. */
  open(kept: string): URLSearchParams | null;
}

const FIELD = 'kept-entry';
/** What belongs to the session that ended. */
const NOT_KEPT = ['token', 'ago'];

export const keptEntries = (cipher: Pick<FieldCipher, 'seal' | 'open'>): KeptEntries => ({
  keep(fields) {
    const kept = new URLSearchParams(fields);
    for (const name of NOT_KEPT) kept.delete(name);
    return cipher.seal(FIELD, kept.toString());
  },
  open(kept) {
    const opened = cipher.open(FIELD, kept);
    // Text that was never sealed opens too, but not under the present key.
    return opened.ok && opened.current ? new URLSearchParams(opened.text) : null;
  },
});
