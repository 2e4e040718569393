import { type ChecklistWords, CLAUSE, UNSPACED, wordsOf } from './checklists.ts';

/** The words of a text in order, parted by spaces, and the number of the part of a sentence that each stands in. */
interface Spoken {
  readonly words: readonly string[];
  readonly spaced: string;
  /** Where each word begins in `spaced`. */
  readonly starts: readonly number[];
  readonly clauses: readonly number[];
}

/** Scripts without spaces go by characters. */
const UNSPACED_WORD = /[\p{Script=Han}]/u;

const speak = (text: string): Spoken => {
  const words: string[] = [];
  const clauses: number[] = [];
  for (const [clause, part] of text.split(CLAUSE).entries())
    for (const word of wordsOf(part).flatMap((each) => (UNSPACED_WORD.test(each) ? [...each] : [each]))) {
      words.push(word);
      clauses.push(clause);
    }
  const starts: number[] = [];
  let at = 1;
  for (const word of words) {
    starts.push(at);
    at += word.length + 1;
  }
  return { words, spaced: ` ${words.join(' ')} `, starts, clauses };
};

interface Phrase {
  readonly written: string;
  pattern: RegExp | null;
}

type Index = ReadonlyMap<string, readonly Phrase[]>;

const CHOICE = /\{([^{}]*)\}/;

/** Parts of a phrase folded as texts are, spaces at the edges kept. */
const folded = (part: string): string => {
  if (part !== '' && part.trim() === '') return ' ';
  const inside = wordsOf(part)
    .flatMap((word) => (UNSPACED.test(word) ? [...word] : [word]))
    .join(' ');
  return `${/^\s/.test(part) ? ' ' : ''}${inside}${/\s$/.test(part) ? ' ' : ''}`;
};

/** In a script without spaces the characters of two parts are two words. */
const join = (left: string, right: string): string =>
  UNSPACED.test(left.slice(-1)) && UNSPACED.test(right.slice(0, 1)) ? `${left} ${right}` : left + right;

/** A phrase with every choice written out. */
const spellOut = (phrase: string): string[] => {
  const choice = CHOICE.exec(phrase);
  if (!choice) return [phrase];
  return (choice[1] ?? '').split('|').flatMap((word) => spellOut(phrase.replace(CHOICE, () => word)));
};

const sourceOf = (phrase: string): string =>
  UNSPACED.test(phrase)
    ? spellOut(phrase).map(folded).join('|')
    : phrase
        .split(/(\{[^{}]*\})/)
        .map((part) =>
          part.startsWith('{') ? `(?:${part.slice(1, -1).split('|').map(folded).join('|')})` : folded(part),
        )
        .reduce(join, '');

/** Where a phrase may begin: its first words, of each choice. */
const openings = (phrase: string): string[] => {
  if (UNSPACED.test(phrase)) return spellOut(phrase).map((each) => [...(wordsOf(each)[0] ?? '')][0] ?? '');
  const choice = CHOICE.exec(phrase);
  if (choice?.index !== 0) return [wordsOf(phrase.split(/[ {]/)[0] ?? '')[0] ?? ''];
  return (choice[1] ?? '')
    .split('|')
    .map((word) => wordsOf(word)[0] ?? openings(phrase.slice(choice[0].length).trim())[0] ?? '');
};

const indexes = new WeakMap<readonly string[], Index>();

/** The phrases of a list of the locales by their first words, made once. */
const indexOf = (list: readonly string[]): Index => {
  const known = indexes.get(list);
  if (known) return known;
  const made = new Map<string, Phrase[]>();
  for (const written of list) {
    const phrase: Phrase = { written, pattern: null };
    for (const word of new Set(openings(written))) made.set(word, [...(made.get(word) ?? []), phrase]);
  }
  indexes.set(list, made);
  return made;
};

interface Match {
  readonly from: number;
  readonly to: number;
}

const findAll = (spoken: Spoken, list: readonly string[]): Match[] => {
  const index = indexOf(list);
  return spoken.words.flatMap((word, from) =>
    (index.get(word) ?? []).flatMap((phrase): Match[] => {
      phrase.pattern ??= new RegExp(`(?:${sourceOf(phrase.written)})(?= )`, 'y');
      phrase.pattern.lastIndex = spoken.starts[from] ?? 0;
      const found = phrase.pattern.exec(spoken.spaced);
      return found ? [{ from, to: from + found[0].split(' ').length - 1 }] : [];
    }),
  );
};

/** Words beside "last year" that may stand with it in a part of a sentence of its own: "that was last year". */
const MOST_BESIDE_AN_EXCUSE = 3;

/** Whether an excuse stands in the same part of the sentence, or makes up the part before or after it. */
const isExcused = ({ clauses }: Spoken, match: Match, excuse: Match, asides: readonly Match[]): boolean => {
  const [first = 0, last = 0] = [clauses[match.from], clauses[match.to]];
  const [from = 0, to = 0] = [clauses[excuse.from], clauses[excuse.to]];
  if (to >= first && from <= last) return true;
  // "born last year" tells of the birth.
  if (asides.some((aside) => (clauses[aside.from] ?? 0) >= from && (clauses[aside.to] ?? 0) <= to)) return false;
  const whole = clauses.filter((clause) => clause >= from && clause <= to).length;
  const beside = whole - (excuse.to - excuse.from + 1);
  return (to === first - 1 || from === last + 1) && beside <= MOST_BESIDE_AN_EXCUSE;
};

/**
 * A crash just now, an injured child, a child not breathing; not one that the same part of the sentence puts long ago. In
 * whichever of these languages.
 */
export function readEmergency(text: string, languages: readonly ChecklistWords[]): boolean {
  const spoken = speak(text);
  return languages.some(({ emergency }) => {
    const matches = findAll(spoken, emergency.words);
    if (matches.length === 0) return false;
    const excuses = findAll(spoken, emergency.unless);
    const asides = findAll(spoken, emergency.asides);
    return matches.some((match) => !excuses.some((excuse) => isExcused(spoken, match, excuse, asides)));
  });
}
