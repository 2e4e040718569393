import type { RestraintMode } from '#shared/case.ts';
import type { Print } from './label-lines.ts';

interface Cue {
  readonly mode: RestraintMode;
  readonly start: number;
  readonly end: number;
}

/** How labels name a way of riding, in English, Spanish and French, folded, and as blurred print is read. */
const CUES: readonly (readonly [RestraintMode, RegExp])[] = [
  ['rear-facing', /\brear[\s-]*(?:[ftl]acing|face)\b/g],
  [
    'rear-facing',
    /\b(?:orientad[oa]|mirando|viendo|instalad[oa]|de cara|posicion|sentido)\s+(?:hacia\s+)?(?:a?tras|la parte trasera)\b/g,
  ],
  ['rear-facing', /\b(?:hacia|contra)\s+(?:atras|la marcha)\b/g],
  ['rear-facing', /\b(?:dos a la route|vers l'arriere|orient\w* (?:vers l')?arriere)\b/g],
  ['forward-facing', /\bforward[\s-]*(?:[ftl]acing|face)\b/g],
  ['forward-facing', /\bhacia\s+(?:adelante|delante|el frente)\b/g],
  ['forward-facing', /\b(?:face a la route|vers l'avant|orient\w* (?:vers l')?avant)\b/g],
  ['booster', /\b(?:belt[\s-]*positioning(?:\s+(?:booster|seat))?|booster)\b/g],
  ['booster', /\b(?:asiento (?:elevador|auxiliar)|elevador|siege d'appoint|rehausseur|siege rehausseur)\b/g],
];

/** Where no way of riding is named but the harness against the booster. */
const HARNESS = /\b(?:with (?:the )?(?:5-point )?harness|harness(?:ed)?(?: mode)?|con arnes|avec harnais)\b/g;

/** Sentences that name a way of riding only to warn of something else. */
const WARNING =
  /air\s*-?bags?|bolsas? de aire|coussins? gonflables?|sacs? gonflables?|front seat|asiento delantero|siege avant/;

/** The same text, of the same length, in one line: a cue may run on over a line's end. */
export const flat = (text: string): string => text.replaceAll('\n', ' ');

function cuesOf(print: Print): readonly Cue[] {
  const text = flat(print.text);
  const found = CUES.flatMap(([mode, pattern]) =>
    [...text.matchAll(pattern)].map((match) => ({ mode, start: match.index, end: match.index + match[0].length })),
  );
  const named = found.some(({ mode }) => mode === 'forward-facing' || mode === 'rear-facing');
  const harness = named
    ? []
    : [...text.matchAll(HARNESS)].map(({ 0: word, index }) => ({
        mode: 'forward-facing' as const,
        start: index,
        end: index + word.length,
      }));
  return [...found, ...harness].sort((a, b) => a.start - b.start);
}

const lineAt = (text: string, at: number): { readonly start: number; readonly end: number } => {
  const end = text.indexOf('\n', at);
  return { start: text.lastIndexOf('\n', at - 1) + 1, end: end === -1 ? text.length : end };
};

/** The sentence around a place, over line breaks. */
export const sentenceAt = (text: string, from: number, to: number): string => flat(sentence(text, from, to));

const sentence = (text: string, from: number, to: number): string => {
  const before =
    text
      .slice(0, from)
      .split(/[.!;]\s/)
      .at(-1) ?? '';
  const after = text.slice(to).split(/[.!;]\s|\n\n/)[0] ?? '';
  return before.slice(-160) + text.slice(from, to) + after.slice(0, 100);
};

/** Whether a word of several letters between two places was hardly read. */
const garbled = ({ text, confidence }: Print, from: number, to: number): boolean =>
  [...text.slice(from, to).matchAll(/\S{4,}/g)].some(
    ({ index, 0: word }) => confidence(from + index, from + index + word.length) < UNREAD,
  );

interface Place {
  readonly mode: RestraintMode;
  /** How sure it is that this way is meant (0 to 1). */
  readonly confidence: number;
}

/** Between a way of riding and its figures a word that was hardly read may have named another way. */
const UNREAD = 0.5;
const DOUBTED = 0.6;
/** Where only one way is named on the whole label, and not before the figures. */
const UNNAMED = 0.85;

/** Which way of riding a place of the print belongs to: null where none or several could be meant. */
export function modesIn(print: Print): (at: number) => Place | null {
  const { text } = print;
  const cues = cuesOf(print).filter(({ start, end }) => !WARNING.test(sentenceAt(text, start, end)));
  const all = new Set(cuesOf(print).map(({ mode }) => mode));
  return (at) => {
    const line = lineAt(text, at);
    const before = cues.filter(({ end }) => end <= at).at(-1);
    const inLine = cues.filter(({ start }) => start >= line.start && start < line.end);
    // "5-40 lb rear-facing": the line begins with its figures.
    const begins = !/[a-z]/.test(text.slice(line.start, at));
    if (begins && inLine[0] && inLine[0].start - at < 60 && !/[.!;]\s/.test(text.slice(at, inLine[0].start))) {
      return inLine.every(({ mode }) => mode === inLine[0]?.mode) ? { mode: inLine[0].mode, confidence: 1 } : null;
    }
    if (before) return { mode: before.mode, confidence: garbled(print, before.end, at) ? DOUBTED : 1 };
    const [only] = all;
    return all.size === 1 && only ? { mode: only, confidence: UNNAMED } : null;
  };
}
