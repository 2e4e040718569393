import type { FindingCode } from '#shared/finding-codes.ts';

/** A quantity in a sentence; words/ writes it in the reader's language and in both unit systems. */
export type Quantity =
  | { readonly kind: 'weight'; readonly kg: number | { readonly min: number; readonly max: number } }
  | { readonly kind: 'height'; readonly cm: number | { readonly min: number; readonly max: number } }
  | { readonly kind: 'age'; readonly months: { readonly min: number; readonly max: number } }
  | { readonly kind: 'date'; readonly date: string }
  /** An instant (ISO 8601), by the clocks of a place (IANA name). */
  | { readonly kind: 'time'; readonly at: string; readonly timeZone: string }
  | { readonly kind: 'minutes'; readonly count: number }
  | { readonly kind: 'language'; readonly tag: string }
  | { readonly kind: 'place'; readonly code: string }
  | { readonly kind: 'phrase'; readonly phrase: Phrase }
  | { readonly kind: 'list'; readonly phrases: readonly Phrase[] };

/** A sentence by its key in `locales/<lang>/chat.json` (or `findings:` for dangers); no words here. */
export interface Phrase {
  readonly key: string;
  readonly values?: Readonly<Record<string, string | number | Quantity>>;
}

export interface Choice {
  readonly id: string;
  readonly phrase: Phrase;
}

/** Who sits where (`place` such as p2L), today and in one other way. */
export interface Seating {
  readonly today: readonly { readonly place: string; readonly who: Phrase }[];
  readonly proposed: readonly { readonly place: string; readonly who: Phrase }[];
}

/** What the bot says in one turn, in keys. */
export interface Reply {
  readonly say: readonly Phrase[];
  readonly choices: readonly Choice[];
  readonly many: boolean;
  readonly asking: string | null;
  readonly child?: string;
  readonly seat?: string;
  readonly mode?: string;
  /** For channels that can draw; the words of `say` tell the same. */
  readonly seating?: Seating;
  readonly told: readonly FindingCode[];
  readonly done: boolean;
}
