/** Choices that stand for themselves and cannot be ticked together with others. */
const ALONE = ['none', 'unsure'];

interface Offer {
  readonly choices: readonly string[];
  readonly many: boolean;
  /** A bare number is an answer, not a place in the list. */
  readonly numeric: boolean;
}

const tidy = (text: string): string =>
  text
    .normalize('NFKC')
    .replace(/[\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, '')
    .trim()
    .toLowerCase();

/** The choice a word names: its id, or its place in the list counted from one. */
function choiceOf(word: string, { choices, numeric }: Offer): string | null {
  const exact = choices.find((id) => id.toLowerCase() === word);
  if (exact !== undefined) return exact;
  return !numeric && /^\d{1,2}$/.test(word) ? (choices[Number(word) - 1] ?? null) : null;
}

/** The choices a message consists of, or null where it is anything but choices. */
export function chosenIn(text: string, offer: Offer): readonly string[] | null {
  const whole = choiceOf(tidy(text), offer);
  if (whole !== null) return [whole];
  if (!offer.many) return null;
  const words = tidy(text)
    .split(/[\s,;]+/)
    .filter(Boolean);
  const ids = words.map((word) => choiceOf(word, offer));
  if (ids.length === 0 || ids.some((id) => id === null)) return null;
  return withoutContradiction(ids as string[]);
}

/** `none` or `unsure` beside a ticked problem: the problem counts. */
export function withoutContradiction(ids: readonly string[]): readonly string[] {
  const ticked = ids.filter((id) => !ALONE.includes(id));
  return ticked.length > 0 ? [...new Set(ticked)] : ids.includes('unsure') ? ['unsure'] : [...new Set(ids)];
}
