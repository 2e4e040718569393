import { completedMonths, firstDay, lastDay } from '#shared/dates.ts';
import type { Interval } from '#shared/interval.ts';
import { asInterval, type ReadAge, readNewborn, resolveAge } from './ages.ts';
import { readAnswer, readIntent, readLanguage } from './answers.ts';
import { type Assigned, assign } from './assign.ts';
import { type FoundDate, findDates } from './dates.ts';
import { findDistractors, findPhoneNumbers } from './distractors.ts';
import { applyCorrections, joinRanges } from './joining.ts';
import type { Lexicons } from './lexicon.ts';
import { type Measure, resolveMeasure } from './measures.ts';
import { readPlace } from './places.ts';
import { findQuantities, type Quantity } from './quantities.ts';
import { createRecogniser } from './recognise.ts';
import { type Found, readMode, readSeatKind } from './riding.ts';
import { readScope, type Scope } from './scope.ts';
import type { Language, Range, ReadContext, Reading, ReadRequest, ReadValues } from './types.ts';
import { readVehicleYear } from './vehicles.ts';
import { readingVocabulary, type Vocabulary } from './vocabulary.ts';
import { hitsOf, type Message, messageOf, tokensOfText } from './words.ts';

export type { AskedSlot, Intent, Language, Reading, ReadRequest, ReadValues } from './types.ts';

export interface Reader {
  /** What a message states, and how far to trust it. Never throws; longer messages than the limit read as nothing. */
  read(request: ReadRequest): Reading;
  /** The language a message is written in, or null where that is unsure. */
  recogniseLanguage(text: string): Language | null;
}

export const LONGEST_MESSAGE = 10_000;
/** Words, numbers and marks (characters, in scripts without spaces); more are no answer, and would be slow to sort out. */
const MOST_TOKENS = 1000;
const NOTHING: Reading = { values: {}, confidence: 'none' };
const DEFAULT_TODAY = '2026-01-01';

interface Turn {
  readonly message: Message;
  readonly scope: Scope;
  readonly request: ReadRequest;
  readonly context: ReadContext;
  readonly today: string;
}

interface Doubt {
  doubtful: boolean;
}

const take = <T>(found: Found<T> | null, doubt: Doubt): T | undefined => {
  if (!found) return undefined;
  if (found.doubtful) doubt.doubtful = true;
  return found.value;
};

const near = (message: Message, name: string, date: FoundDate, scope: Scope): boolean =>
  hitsOf(message, 'cue', name).some(({ start }) => scope.sentence[start] === scope.sentence[date.start]);

const nearestRole = (message: Message, scope: Scope, date: FoundDate): string | null => {
  let best: { name: string; away: number } | null = null;
  for (const hit of hitsOf(message, 'cue', 'born', 'made', 'bought', 'expiry')) {
    if (scope.sentence[hit.start] !== scope.sentence[date.start]) continue;
    const away = hit.end <= date.start ? date.start - hit.end : hit.start >= date.end ? hit.start - date.end + 1 : 0;
    if (best === null || away < best.away) best = { name: hit.name, away };
  }
  return best?.name ?? null;
};

const readDates = (
  { message, scope, request, today }: Turn,
  dates: readonly FoundDate[],
  /** An age is said too: "yesterday" tells of the birthday then. */
  aged: boolean,
  doubt: Doubt,
): Pick<ReadValues, 'birthDate' | 'date'> => {
  const found: { birthDate?: FoundDate; date?: FoundDate; expiry?: FoundDate } = {};
  let twice = false;
  for (const date of dates) {
    const role = nearestRole(message, scope, date);
    if (date.relative && (role !== 'born' || aged)) continue;
    const past = firstDay(date.value) <= today;
    if (role === 'bought' || scope.other[date.start]) continue;
    if (role === 'born' || (role === null && request.asked === 'age')) {
      if (!past) continue;
      twice ||= found.birthDate !== undefined;
      found.birthDate = date;
    } else if (role === 'expiry') found.expiry = date;
    else if (role === 'made' || (role === null && request.asked === 'date')) {
      twice ||= found.date !== undefined;
      found.date = date;
    } else if (request.asked === null && past && near(message, 'this-child', date, scope)) {
      found.birthDate ??= date;
      twice = true;
    }
  }
  const date = found.date ?? (request.asked === 'date' ? found.expiry : undefined);
  if (twice || found.birthDate?.doubtful || date?.doubtful || (!found.date && date)) doubt.doubtful = true;
  return { ...(found.birthDate && { birthDate: found.birthDate.value }), ...(date && { date: date.value }) };
};

/** Older than this a number of years that nobody asked for is likelier something else's age. */
const OLDEST_MONTHS = 155;

const agesOf = (message: Message, assigned: readonly Assigned[]): ReadAge[] =>
  assigned.flatMap(({ quantity, dimension }) => (dimension === 'age' ? (resolveAge(message, quantity) ?? []) : []));

const narrowest = (ages: readonly ReadAge[]): ReadAge | null => {
  const last = ages.at(-1);
  if (!last) return null;
  const inside = ages.every(({ months }) => months[0] <= last.months[0] && months[1] >= last.months[1]);
  const first = ages[0];
  const around = first && ages.every(({ months }) => first.months[0] >= months[0] && first.months[1] <= months[1]);
  if (around && first) return first;
  return inside ? last : { ...last, doubtful: true };
};

const readAge = (turn: Turn, assigned: readonly Assigned[], doubt: Doubt): Range | undefined => {
  const { asked } = turn.request;
  const ages = agesOf(turn.message, assigned);
  const newborn = readNewborn(turn.message);
  if (newborn && (asked === 'age' || asked === null)) ages.push(newborn);
  const age = narrowest(ages);
  if (!age) return undefined;
  if (age.doubtful || (asked !== 'age' && age.months[0] > OLDEST_MONTHS)) doubt.doubtful = true;
  return age.months;
};

const ageInterval = ({ context, today }: Turn, values: ReadValues): Interval | null => {
  if (values.ageMonths) return asInterval(values.ageMonths);
  if (values.birthDate)
    return {
      min: completedMonths(lastDay(values.birthDate), today),
      max: completedMonths(firstDay(values.birthDate), today),
    };
  return asInterval(context.ageMonths);
};

const collapse = ([low, high]: Range): number | Range => (low === high ? low : [low, high]);

const readMeasure = (
  turn: Turn,
  measure: Measure,
  assigned: readonly Assigned[],
  age: Interval | null,
  corrected: boolean,
  doubt: Doubt,
): number | Range | undefined => {
  const own = assigned.filter(({ dimension }) => dimension === measure);
  const resolved = own.flatMap(
    ({ quantity }) => resolveMeasure(measure, quantity, age, turn.context.units ?? 'us') ?? [],
  );
  const touching = own.some(({ quantity }) => own.some((next) => next.quantity.start === quantity.end));
  if (touching) doubt.doubtful = true;
  // Of several the one that the age allows: "I weigh 160 and she weighs 28".
  const plausible = age === null ? [] : resolved.filter(({ doubtful }) => !doubtful);
  if (resolved.length > 1 && plausible.length === 1 && plausible[0]) return collapse(plausible[0].value);
  const last = resolved.at(-1);
  const first = resolved[0];
  if (!last || !first) return undefined;
  // "30 lb (13.6 kg)": the same thing said twice.
  const same = resolved.every(({ value }) => Math.abs(value[0] - first.value[0]) <= 0.02 * first.value[0]);
  const used = same ? first : last;
  if (used.doubtful || (!same && !corrected)) doubt.doubtful = true;
  return collapse(used.value);
};

/** A number without a unit beside another child's number with one takes that unit (understanding.md, Units). */
const borrowUnits = (quantities: readonly Quantity[], dropped: ReadonlyMap<Quantity, string>): Quantity[] => {
  const [lender] = [...dropped]
    .filter(([{ dimension, value }, why]) => why === 'other-child' && dimension !== 'age' && value)
    .map(([quantity]) => quantity);
  return quantities.map((quantity) => {
    if (quantity.dimension !== null || !lender?.value || !lender.unit || lender.compound) return quantity;
    const factor = lender.value[0] / lender.said[0];
    return {
      ...quantity,
      dimension: lender.dimension,
      unit: lender.unit,
      value: [quantity.said[0] * factor, quantity.said[1] * factor],
    };
  });
};

/** At birth and now are the same for a child in its first weeks. */
const keepNewbornSize = (dropped: Map<Quantity, string>, age: Interval | null): void => {
  if (age === null || age.max > 1) return;
  for (const [quantity, why] of dropped) if (why === 'at-birth') dropped.delete(quantity);
};

const tokensOf = (spans: readonly { readonly start: number; readonly end: number }[]): Set<number> =>
  new Set(spans.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, index) => start + index)));

const AGE_SLOTS = new Set<ReadRequest['asked']>(['date', 'vehicle', 'seat-kind', 'yes-no', 'place']);

const readTurn = (turn: Turn): Reading => {
  const { message, scope, request, today, context } = turn;
  const { asked } = request;
  const doubt: Doubt = { doubtful: false };
  const dates = findDates(message, { today, units: context.units ?? null, asked });
  const dateTokens = tokensOf(dates.filter(({ relative }) => !relative));
  const wanted = asked === 'weight' || asked === 'height' || asked === 'age' ? asked : null;
  const taken = new Set([...dateTokens, ...findPhoneNumbers(message)]);
  const all = joinRanges(message, findQuantities(message, taken, wanted));
  const dropped = findDistractors(message, scope, all);
  keepNewbornSize(dropped, asInterval(context.ageMonths));
  const { kept, corrected } = applyCorrections(
    message,
    borrowUnits(
      all.filter((quantity) => !dropped.has(quantity)),
      dropped,
    ),
  );
  const assigned = assign(message, scope, kept, asked).filter(
    ({ dimension }) => dimension !== 'age' || !AGE_SLOTS.has(asked) || hitsOf(message, 'cue', 'this-child').length > 0,
  );
  if (hasLooseNumber(message, kept, assigned, today)) doubt.doubtful = true;
  const values: ReadValues = readDates(
    turn,
    dates,
    kept.some(({ unit }) => unit === 'year' || unit === 'month'),
    doubt,
  );
  const ageMonths = readAge(turn, assigned, doubt);
  if (ageMonths && !(values.birthDate && asked === 'age')) values.ageMonths = ageMonths;
  const age = ageInterval(turn, values);
  const weightKg = readMeasure(turn, 'weight', assigned, age, corrected, doubt);
  const heightCm = readMeasure(turn, 'height', assigned, age, corrected, doubt);
  if (weightKg !== undefined) values.weightKg = weightKg;
  if (heightCm !== undefined) values.heightCm = heightCm;
  const mode = asked === 'seat-kind' ? undefined : take(readMode(message, scope, asked === 'mode'), doubt);
  if (mode) values.mode = mode;
  const seatKind = take(readSeatKind(message, scope, asked === 'seat-kind'), doubt);
  if (seatKind) values.seatKind = seatKind;
  const measured = tokensOf(assigned.map(({ quantity }) => quantity).filter(({ unit }) => unit !== null));
  const vehicleYear = take(readVehicleYear(message, scope, dates, measured, today, asked), doubt);
  if (vehicleYear) values.vehicleYear = vehicleYear;
  const jurisdiction = take(readPlace(message, asked), doubt);
  if (jurisdiction) values.jurisdiction = jurisdiction;
  const answer = asked === 'yes-no' ? take(readAnswer(message), doubt) : undefined;
  if (answer) values.answer = answer;
  const language =
    Object.keys(values).length === 0 || asked === 'language' ? take(readLanguage(message, asked), doubt) : undefined;
  if (language) values.language = language;
  return conclude(turn, values, doubt);
};

/** A number beside a used one, or a word away, taken for nothing, may belong to it: "12 kilos trescientos". */
const hasLooseNumber = (
  { tokens }: Message,
  kept: readonly Quantity[],
  assigned: readonly Assigned[],
  today: string,
): boolean => {
  const used = assigned.map(({ quantity }) => quantity);
  const oldest = Number(today.slice(0, 4)) - 100;
  const besideWord = (from: number, to: number) => to - from === 1 && tokens[from]?.kind === 'word';
  return kept.some(
    (loose) =>
      loose.unit === null &&
      loose.said[0] < oldest &&
      !used.includes(loose) &&
      !(loose.number?.digits === false && loose.said[0] <= 1) &&
      used.some(({ start, end }) => loose.end === start || loose.start === end || besideWord(end, loose.start)),
  );
};

const SLOT_VALUES: Readonly<Record<Exclude<ReadRequest['asked'], null>, readonly (keyof ReadValues)[]>> = {
  language: ['language'],
  age: ['ageMonths', 'birthDate'],
  weight: ['weightKg'],
  height: ['heightCm'],
  mode: ['mode'],
  'seat-kind': ['seatKind'],
  'yes-no': ['answer'],
  date: ['date'],
  vehicle: ['vehicleYear'],
  place: ['jurisdiction'],
};

const conclude = ({ message, request }: Turn, values: ReadValues, { doubtful }: Doubt): Reading => {
  const hasValues = Object.keys(values).length > 0;
  const answered =
    request.asked === null ? hasValues : SLOT_VALUES[request.asked].some((key) => values[key] !== undefined);
  const found = values.language ? null : readIntent(message, hasValues, answered);
  const intent = found === 'unsure' && values.answer ? null : found;
  const confidence = hasValues ? (doubtful ? 'confirm' : 'sure') : intent ? 'sure' : 'none';
  return { values, confidence, ...(intent && { intent }) };
};

const ENGLISH: Language = 'en';

const vocabularies = (lexicons: Lexicons): ReadonlyMap<string, () => Vocabulary> =>
  new Map(
    Object.keys(lexicons).map((language) => {
      let made: Vocabulary | null = null;
      const make = () =>
        readingVocabulary(lexicons[language as Language], language === ENGLISH ? null : lexicons[ENGLISH]);
      return [language, () => (made ??= make())];
    }),
  );

/** A reader over the lexicons handed in; a language's phrases are made ready when it is first read. */
export const createReader = (lexicons: Lexicons): Reader => {
  const ready = vocabularies(lexicons);
  return {
    read: (request) => {
      const vocabulary = ready.get(request.language)?.();
      if (!vocabulary || request.text.length > LONGEST_MESSAGE) return NOTHING;
      const tokens = tokensOfText(vocabulary, request.text);
      if (tokens.length > MOST_TOKENS) return NOTHING;
      const message = messageOf(vocabulary, tokens);
      const context = request.context ?? {};
      return readTurn({ message, scope: readScope(message), request, context, today: context.today ?? DEFAULT_TODAY });
    },
    recogniseLanguage: createRecogniser(lexicons),
  };
};
