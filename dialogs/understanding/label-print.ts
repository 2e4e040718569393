import { datesIn, type PrintedDate } from './label-dates.ts';
import { type Print, type PrintedLine, printOf } from './label-lines.ts';
import { limitsIn, type PrintedLimit } from './label-measures.ts';
import { flat, modesIn, sentenceAt } from './label-modes.ts';
import { LONGEST_LIFE, plausible } from './label-plausible.ts';

export interface LabelField {
  readonly value: string | number;
  /** 0 to 1; what is below `OFFERED` is for nobody's eyes. */
  readonly confidence: number;
}

/** What a label says, by the path inside a case's seat: `manufactureDate`, `modes.booster.maxWeightKg` … */
export type LabelFields = Readonly<Record<string, LabelField>>;

/** Below this a value is not even read back. Set by `npm run -s labels`. */
export const OFFERED = 0.7;

const MADE =
  /\b(?:date of (?:manufacture|mfg?\.?)|manufactur\w* (?:date|in|on)|manufactured|mfg\.?(?: date)?|mfd\.?|dom\b|date made|made on|fecha de (?:fabricacion|manufactura|produccion)|fabricad[oa] (?:en|el)|fabricacion|date de fabrication|fabrique (?:en|le)|fabrication)/g;
const EXPIRY =
  /\b(?:do not use(?: this [a-z ]{3,40})? after|not to be used after|use (?:by|before)|expir(?:y|es|ation)(?: date| on)?|exp\.? date|no (?:lo |la )?(?:use|usar|utilizar|utilice)(?: [a-z ]{3,40})? despues del?|fecha de (?:vencimiento|caducidad|expiracion)|(?:vence|caduca|expira)(?: el| en)?|ne pas utiliser(?: [a-z' ]{3,40})? apres(?: le)?|date (?:d'expiration|de peremption|limite)|expire (?:le|en)|a utiliser avant)/g;
const LIFE =
  /useful life|service life|life\s?span|lifetime|vida util|duree de vie|discard|expires|do not use|after (?:the )?(?:date of )?manufactur|from (?:the )?(?:date of )?manufactur|no (?:use|usar|utilizar)|despues de|desde la fecha|a partir de la fecha|ne pas utiliser|apres|jeter/;
const AGE = /years? (?:old|of age)|anos (?:de edad|o mas)|age\b|edad|children|ninos|enfants/;
const YEARS = /(?<![\d/.-])(\d{1,2})\s*-?\s*(?:years?|yrs?\.?|anos?|afios?|ans?)\b/g;
const MODEL =
  /\b(?:model(?:o|e)?|mod\.)(?:\s*(?:no|nr|num(?:ber|ero|ero)?|n°|nº|n|#)\b\.?)?(?:\s*(?:name|nombre|nom)\b)?\s*(?:[:#°º.-]\s*)*/g;
const ANCHORS =
  /lower anchor|\blatch\b|anclajes? inferior|anclaje|ancrage|\buas\b|\bisofix\b|combined|combinad|combine\b/;
const SEAT_ITSELF =
  /(?:weight of (?:the |this )?(?:seat|restraint)|(?:seat|restraint) weighs|peso de(?: la silla|l asiento)|poids du siege)/;

/** So far after its cue, or so far before it, a value still belongs to it. */
const REACH = 70;

interface Found {
  readonly value: string | number;
  readonly confidence: number;
}

/** What stands after a cue on its line or the two below. */
const near = <T extends { readonly start: number; readonly end: number }>(
  { text }: Print,
  cue: RegExp,
  things: readonly T[],
): readonly T[] =>
  [...flat(text).matchAll(cue)].flatMap(({ index, 0: word }) => {
    const end = index + word.length;
    const next = things.find(({ start }) => start >= end && start - end <= REACH);
    // The year alone may be the end of a date whose beginning was not read.
    const torn = next && next.end - next.start === 4 && /[\n\w]/.test(text.slice(end, next.start));
    return next && !torn ? [next] : [];
  });

/** So sure a value must be to cast doubt on another one of the same field. */
const CONTRADICTS = 0.45;

/** One value out of all that was found: the surest, unless others say something else. */
function agreed(found: readonly Found[]): LabelField | null {
  const best = found.toSorted((a, b) => b.confidence - a.confidence)[0];
  if (!best) return null;
  const same = found.filter(({ value }) => value === best.value).length;
  const others = found.filter(({ value, confidence }) => value !== best.value && confidence > CONTRADICTS).length;
  const confidence = best.confidence * (others > 0 ? 0.5 : 1);
  return { value: best.value, confidence: same > 1 ? 1 - (1 - confidence) * 0.7 : confidence };
}

const dateField = (print: Print, dates: readonly PrintedDate[]): readonly Found[] =>
  dates.map(({ start, end, value, doubtful }) => ({
    value,
    confidence: print.confidence(start, end) * (doubtful ? 0.75 : 1) * (value.length === 4 ? 0.9 : 1),
  }));

function lifeField(print: Print): readonly Found[] {
  return [...print.text.matchAll(YEARS)].flatMap(({ index, 0: word, 1: digits }) => {
    const end = index + word.length;
    const sentence = sentenceAt(print.text, index, end);
    const years = Number(digits);
    const about = flat(print.text.slice(Math.max(0, index - 40), end + 14));
    if (!LIFE.test(sentence) || AGE.test(about) || years < 4 || years > LONGEST_LIFE) return [];
    return [{ value: years, confidence: print.confidence(index, end) ** 2 }];
  });
}

function modelField(print: Print): readonly Found[] {
  return [...print.text.matchAll(MODEL)].flatMap(({ index, 0: cue }) => {
    const from = index + cue.length;
    const rest = print.raw.slice(from, from + REACH);
    const token =
      /^[^\S\n]*([A-Z0-9][A-Z0-9./-]{2,23})(?![a-z])/.exec(rest) ??
      /^[^\n]*\n\s*([A-Z0-9][A-Z0-9./-]{2,23})(?![a-z])/.exec(rest);
    const value = token?.[1]?.replace(/[./-]+$/, '');
    if (!token || !value || !/\d/.test(value) || /^(?:19|20)\d\d[/.-]/.test(value)) return [];
    const start = from + token[0].length - (token[1]?.length ?? 0);
    return [{ value, confidence: print.confidence(start, start + value.length) ** 2 }];
  });
}

const FIELD = { weight: 'WeightKg', height: 'HeightCm' } as const;

/** How far a limit can be trusted: printed in two systems that agree, its misreading would have to agree too. */
const PROVEN: Readonly<Record<PrintedLimit['proof'], number>> = { both: 0.97, one: 0.9, torn: 0.6, contradiction: 0.3 };

function limitFields(print: Print): ReadonlyMap<string, readonly Found[]> {
  const modeAt = modesIn(print);
  const found = new Map<string, Found[]>();
  let after = 0;
  for (const { dimension, start, end, min, max, proof } of limitsIn(print)) {
    const before =
      print.text
        .slice(Math.max(after, start - 110), start)
        .split(/[.!;]\s/)
        .at(-1) ?? '';
    const tail = print.text.slice(end, end + 60).split(/[.!;\n]/)[0] ?? '';
    after = end;
    const place = modeAt(start);
    if (!place || ANCHORS.test(flat(before)) || ANCHORS.test(tail) || SEAT_ITSELF.test(flat(before))) continue;
    const read = print.confidence(start, end);
    const sure = proof === 'both' ? PROVEN.both * (0.7 + 0.3 * read) : PROVEN[proof] * read * read;
    for (const [side, value] of [
      ['min', min],
      ['max', max],
    ] as const) {
      if (value === null) continue;
      const path = `modes.${place.mode}.${side}${FIELD[dimension]}`;
      found.set(path, [...(found.get(path) ?? []), { value, confidence: sure * place.confidence }]);
    }
  }
  return found;
}

const ENGLISH = /\b(?:date of|manufactur|do not use|use only|model n)/g;
const OTHERS = /\b(?:fecha|fabricacion|no use|usar|modelo|date de|ne pas|modele|utiliser)/g;

/** Everything a photo's print says of the seat, each with a confidence; dates are judged by `today`. */
export function readLabelPrint(lines: readonly PrintedLine[], today: string): LabelFields {
  const print = printOf(lines);
  const dayFirst = [...print.text.matchAll(OTHERS)].length > [...print.text.matchAll(ENGLISH)].length;
  const dates = datesIn(print, dayFirst);
  const expiries = near(print, EXPIRY, dates);
  const made = near(print, MADE, dates).filter((date) => !expiries.includes(date));
  const found = new Map<string, readonly Found[]>([
    ['manufactureDate', dateField(print, made)],
    ['expiryDate', dateField(print, expiries)],
    ['usefulLifeYears', lifeField(print)],
    ['modelNumber', modelField(print)],
    ...limitFields(print),
  ]);
  const fields: Record<string, LabelField> = {};
  for (const [path, values] of found) {
    const field = agreed(values);
    if (field) fields[path] = field;
  }
  return plausible(fields, today);
}
