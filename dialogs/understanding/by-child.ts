import type { Reading } from './types.ts';

/** What a message says of one child: by the name it calls, or null for the child that was asked about. */
export interface ChildPart {
  readonly name: string | null;
  readonly text: string;
}

interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** Whether a text states anything. */
type States = (text: string) => boolean;

const MARKS = String.raw`[;!?\n、，。؛،…]|[.,](?!\p{N})|\s[-–—]\s`;
const escaped = (words: string): string => words.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
const BEFORE = String.raw`(?<![\p{L}\p{M}\p{N}])`;
const AFTER = String.raw`(?![\p{L}\p{M}\p{N}])`;
const UNSPACED = /[\p{Script=Han}\p{Script=Hangul}]/u;
const ARABIC = /\p{Script=Arabic}/u;

/** A word as it stands in a text: whole, at the head of a word in Arabic, anywhere in scripts that part no words. */
const wordPattern = (word: string): string =>
  UNSPACED.test(word) ? escaped(word) : `${BEFORE}${escaped(word)}${ARABIC.test(word) ? '' : AFTER}`;

/** A name as it stands in a text; in Arabic a short word may be written onto it. */
const namePattern = (name: string): string => (ARABIC.test(name) ? escaped(name) : wordPattern(name));

/**
 * What parts the stretches of a message: its marks, the words for "and", and the words a new subject begins with ("my
 * son", "the other one").
 */
export function partingsOf(ands: readonly string[], subjects: readonly string[]): RegExp {
  const longestFirst = [...subjects].sort((one, two) => two.length - one.length);
  const heads = longestFirst.length === 0 ? [] : [`(?=(${longestFirst.map(wordPattern).join('|')}))`];
  return new RegExp([MARKS, ...ands.map(wordPattern), ...heads].join('|'), 'giu');
}

/** More stretches than anybody needs to tell of their children; what has more is not sorted out. */
const MOST_STRETCHES = 40;

/** The text between its partings. Cutting too much is no harm: what stays with one child is read whole. */
function stretchesOf(text: string, partings: RegExp): readonly (Stretch & { readonly marked: boolean })[] {
  const edges = [{ index: 0, length: 0, covered: 0, marked: true }];
  for (const { index, 0: cut, 1: subject = '' } of text.matchAll(partings)) {
    // "my daughter" is one subject, and not two.
    if (index < (edges.at(-1)?.covered ?? 0)) continue;
    const marked = cut !== '' && !/\p{L}/u.test(cut);
    edges.push({ index, length: cut.length, covered: index + subject.length, marked });
  }
  const stretches = edges
    .map(({ index, length, marked }, at) => ({
      start: index + length,
      end: edges[at + 1]?.index ?? text.length,
      marked,
    }))
    .filter(({ start, end }) => text.slice(start, end).trim() !== '');
  return stretches.length > MOST_STRETCHES ? [] : stretches;
}

interface Call {
  readonly name: string;
  readonly start: number;
  readonly end: number;
}

const callsIn = (text: string, names: readonly string[], { start, end }: Stretch): readonly Call[] =>
  names
    .flatMap((name) =>
      [...text.slice(start, end).matchAll(new RegExp(namePattern(name.normalize('NFKC')), 'giu'))].map((call) => ({
        name,
        start: start + call.index,
        end: start + call.index + call[0].length,
      })),
    )
    .sort((one, two) => one.start - two.start)
    .filter((call, at, all) => call.name !== all[at - 1]?.name);

/** A stretch that calls several children, cut before each name or after it; null where it is not clear which. */
function cutAtNames(text: string, stretch: Stretch, calls: readonly Call[], states: States): readonly Stretch[] | null {
  const [first, last] = [calls[0], calls.at(-1)];
  if (!first || !last || calls.length < 2) return [stretch];
  const before = states(text.slice(stretch.start, first.start));
  const after = states(text.slice(last.end, stretch.end));
  if (before === after) return null;
  const at = before ? calls.slice(0, -1).map(({ end }) => end) : calls.slice(1).map(({ start }) => start);
  return [...at, stretch.end].map((end, i) => ({ start: at[i - 1] ?? stretch.start, end }));
}

/** Neighbouring stretches of one child, joined with all that stands between them. */
function joined(text: string, owned: readonly { readonly name: string | null; readonly stretch: Stretch }[]) {
  const parts: { name: string | null; start: number; end: number }[] = [];
  for (const { name, stretch } of owned) {
    const last = parts.at(-1);
    if (last && last.name === name) last.end = stretch.end;
    else parts.push({ name, ...stretch });
  }
  return parts.map(({ name, start, end }) => ({ name, text: text.slice(start, end).trim() }));
}

/**
 * What a message says of each of several children whose names are known: "Mia is 33 lb, Leo 10 lb 4". Stretches without
 * a name go with the child named before. Null where it speaks of one child only, or not plainly of whom.
 */
export function byName(
  message: string,
  partings: RegExp,
  names: readonly string[],
  states: States,
): readonly ChildPart[] | null {
  const text = message.normalize('NFKC');
  const stretches: Stretch[] = [];
  for (const stretch of stretchesOf(text, partings)) {
    const cut = cutAtNames(text, stretch, callsIn(text, names, stretch), states);
    if (!cut) return null;
    stretches.push(...cut);
  }
  let name: string | null = null;
  const owned = stretches.map((stretch) => {
    name = callsIn(text, names, stretch)[0]?.name ?? name;
    return { name, stretch };
  });
  const stated = owned.map(({ stretch }) => states(text.slice(stretch.start, stretch.end)));
  const children = new Set(owned.filter(({ name }, at) => name !== null || stated[at]).map(({ name }) => name));
  if (children.size < 2) return null;
  // "33 lb, Mia. 10 lb, Leo": the figures come first, and going with the name before would be wrong.
  const leading = owned[stated.indexOf(true)]?.name === null;
  const trailing = stated.at(-1) === false && callsIn(text, names, stretches.at(-1) as Stretch).length > 0;
  return leading && trailing ? null : joined(text, owned).filter((part) => part.name !== null || states(part.text));
}

const tellsAge = ({ values }: Reading): boolean => values.ageMonths !== undefined || values.birthDate !== undefined;

const sameAge = (one: Reading, two: Reading): boolean =>
  JSON.stringify([one.values.ageMonths, one.values.birthDate]) ===
  JSON.stringify([two.values.ageMonths, two.values.birthDate]);

const OLDEST_NEWBORN_MONTHS = 2;

/** "A newborn, 6 weeks": a figure that says more closely what the word said. */
const refinesNewborn = (said: string, { values: before }: Reading, { values: after }: Reading): boolean =>
  !/\p{N}/u.test(said) && before.ageMonths?.[1] === 0 && (after.ageMonths?.[1] ?? Infinity) <= OLDEST_NEWBORN_MONTHS;

/**
 * What a message says of each of several children of whom only the ages are told: "a 2 year old and a newborn, 8 lb".
 * A second age opens the next child, unless both are one: "2 years and 4 months". Null where fewer than two are told of.
 */
export function byAge(message: string, partings: RegExp, read: (text: string) => Reading): readonly string[] | null {
  const text = message.normalize('NFKC');
  const parts: { start: number; end: number; age: Reading }[] = [];
  let lead: Stretch | null = null;
  for (const { start, end, marked } of stretchesOf(text, partings)) {
    const alone = read(text.slice(start, end));
    const last = parts.at(-1);
    if (!last) {
      // Words before the first age, "I have two kids", speak of no child in particular, unless only a word parts them from it.
      const from: number = !marked && lead && !/\p{N}/u.test(text.slice(lead.start, lead.end)) ? lead.start : start;
      if (tellsAge(alone)) parts.push({ start: from, end, age: alone });
      else lead = { start: from, end };
      continue;
    }
    if (refinesNewborn(text.slice(last.start, last.end), last.age, alone)) {
      Object.assign(last, { start, end, age: alone });
      continue;
    }
    const whole = read(text.slice(last.start, end));
    const goesOn =
      !tellsAge(alone) ||
      (whole.confidence === 'sure' && tellsAge(whole) && !sameAge(whole, last.age) && !sameAge(whole, alone));
    if (goesOn) last.end = end;
    else parts.push({ start, end, age: alone });
  }
  return parts.length < 2 ? null : parts.map(({ start, end }) => text.slice(start, end).trim());
}
