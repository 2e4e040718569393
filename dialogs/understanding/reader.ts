import type { Interval } from '#shared/interval.ts';
import { asInterval } from './ages.ts';
import { readAnswer, readIntent, readLanguage } from './answers.ts';
import { assign } from './assign.ts';
import { findBirthday, withSplitBirthDate } from './birthdays.ts';
import { readDates } from './date-roles.ts';
import { findDates } from './dates.ts';
import { findDistractors, findPhonesAndTimes } from './distractors.ts';
import { applyCorrections, joinRanges } from './joining.ts';
import { isKindMeant, readSeatKind } from './kinds.ts';
import type { Lexicons } from './lexicon.ts';
import { readPlace } from './places.ts';
import { findQuantities, type Quantity } from './quantities.ts';
import { createRecogniser } from './recognise.ts';
import { isBackOrMode, isBareDirection, isBeyond, readMode, readModeNow } from './riding.ts';
import { readScope, type Scope } from './scope.ts';
import { isOneOfSeveral } from './several.ts';
import { contrasted, onlyPlausible } from './siblings.ts';
import {
  ageInterval,
  borrowUnits,
  hasLooseNumber,
  isBesideThePoint,
  keepNewbornSize,
  readAge,
  readMeasure,
} from './sizes.ts';
import { dropOtherSpans } from './spans.ts';
import { type Doubt, type Turn, take } from './turn.ts';
import type { Language, Range, Reading, ReadRequest, ReadValues } from './types.ts';
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

const tokensOf = (spans: readonly { readonly start: number; readonly end: number }[]): Set<number> =>
  new Set(spans.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, index) => start + index)));

const AGE_SLOTS = new Set<ReadRequest['asked']>(['date', 'vehicle', 'seat-kind', 'yes-no', 'place']);

/** Questions about the seat: a size in the answer is its limit unless a child is spoken of. */
const SEAT_SLOTS = new Set<ReadRequest['asked']>(['date', 'seat-kind']);

/** From here on a weight beside a child's is a grown-up's. */
const ADULT_KG = 40;

/** Sets the figures of other children aside where the words, or the child's age, leave no doubt; false where they do. */
const settleSiblings = (
  { message, scope, request: { asked }, context }: Turn,
  all: readonly Quantity[],
  dropped: Map<Quantity, string>,
): boolean => {
  const children = all.filter((each) => (dropped.get(each) ?? 'other-child') === 'other-child');
  const { siblings, own } = contrasted(message, scope, children);
  for (const each of siblings) dropped.set(each, 'other-child');
  for (const each of own) dropped.delete(each);
  if (siblings.length > 0) return true;
  const grown = children.some(
    ({ dimension, value }) => dimension === 'weight' && value !== null && value[0] >= ADULT_KG,
  );
  const told = grown || hitsOf(message, 'cue', 'several', 'other-child').length > 0;
  if (!told || (asked !== 'weight' && asked !== 'height')) return false;
  const only = onlyPlausible(children, asked, asInterval(context.ageMonths), context.units ?? 'us');
  if (only === null) return false;
  for (const each of children) if (each !== only) dropped.set(each, 'other-child');
  dropped.delete(only);
  return true;
};

const MONTHS_OFF = 3;

/** Whether an age said in passing cannot be that of the child as known: "forward since she was 2" of a child of 3. */
const isAgainst = ([least, most]: Range, known: Interval | null): boolean =>
  known !== null && (most < known.min - MONTHS_OFF || least > known.max + MONTHS_OFF);

/** Whether a way of riding is told in a sentence about the other child. */
const isToldOfSibling = (message: Message, scope: Scope): boolean =>
  hitsOf(message, 'mode').some((mode) =>
    hitsOf(message, 'cue', 'several', 'other-child').some(
      ({ end, start }) => end <= mode.start && scope.sentence[start] === scope.sentence[mode.start],
    ),
  );

const readTurn = (turn: Turn): Reading => {
  const { message, scope, request, today, context } = turn;
  const { asked } = request;
  const doubt: Doubt = { doubtful: false };
  const dates = withSplitBirthDate(
    message,
    scope,
    today,
    findDates(message, { today, units: context.units ?? null, asked }),
  );
  const dateTokens = tokensOf(dates.filter(({ relative }) => !relative));
  const wanted = asked === 'weight' || asked === 'height' || asked === 'age' ? asked : null;
  const taken = new Set([...dateTokens, ...findPhonesAndTimes(message)]);
  const all = joinRanges(message, findQuantities(message, taken, wanted), wanted);
  const dropped = findDistractors(message, scope, all, asked === 'age');
  const birthday = findBirthday(message, scope, today, dateTokens, dropped);
  dropOtherSpans(message, scope, all, dropped);
  const settled = request.anyChild !== true && settleSiblings(turn, all, dropped);
  keepNewbornSize(dropped, all, asInterval(context.ageMonths));
  const { kept, corrected } = applyCorrections(
    message,
    borrowUnits(
      all.filter((quantity) => !dropped.has(quantity)),
      dropped,
    ),
  );
  const assigned = assign(message, scope, kept, asked).filter(
    ({ dimension }) =>
      !(dimension === 'age' ? AGE_SLOTS : SEAT_SLOTS).has(asked) || hitsOf(message, 'cue', 'this-child').length > 0,
  );
  if (
    hasLooseNumber(message, kept, assigned, today) ||
    isBesideThePoint(message, scope, assigned, asked) ||
    (!settled && isOneOfSeveral(message, all, dropped, asked === 'age'))
  )
    doubt.doubtful = true;
  const values: ReadValues = readDates(
    turn,
    dates,
    kept.some(({ unit }) => unit === 'year' || unit === 'month'),
    doubt,
  );
  const ageMonths = readAge(turn, assigned, birthday, doubt);
  if (ageMonths && !(values.birthDate && asked === 'age')) values.ageMonths = ageMonths;
  if (values.ageMonths && asked !== 'age' && isAgainst(values.ageMonths, asInterval(context.ageMonths)))
    doubt.doubtful = true;
  const age = ageInterval(turn, values);
  const weightKg = readMeasure(turn, 'weight', assigned, age, corrected, doubt);
  const heightCm = readMeasure(turn, 'height', assigned, age, corrected, doubt);
  if (weightKg !== undefined) values.weightKg = weightKg;
  if (heightCm !== undefined) values.heightCm = heightCm;
  const either = isBackOrMode(message);
  const other = either && asked !== 'mode';
  const found =
    asked === 'seat-kind' ? readModeNow(message, scope) : other ? null : readMode(message, scope, asked === 'mode');
  const answer = asked === 'yes-no' ? readAnswer(message) : null;
  const mode = found && isBeyond(found.value, asked, answer !== null) ? undefined : take(found, doubt);
  if (mode) values.mode = mode;
  if (mode && asked !== null && asked !== 'mode' && isBareDirection(message)) doubt.doubtful = true;
  if (mode && (either || (settled && isToldOfSibling(message, scope)))) doubt.doubtful = true;
  const kind = readSeatKind(message, scope, asked === 'seat-kind');
  const seatKind = kind && isKindMeant(message, kind.value, asked) ? take(kind, doubt) : undefined;
  if (seatKind) values.seatKind = seatKind;
  const measured = tokensOf(assigned.map(({ quantity }) => quantity).filter(({ unit }) => unit !== null));
  const vehicleYear = take(readVehicleYear(message, scope, dates, measured, today, asked), doubt);
  if (vehicleYear) values.vehicleYear = vehicleYear;
  const jurisdiction = take(readPlace(message, scope, asked), doubt);
  if (jurisdiction) values.jurisdiction = jurisdiction;
  const yesOrNo = take(answer, doubt);
  if (yesOrNo) values.answer = yesOrNo;
  const language =
    Object.keys(values).length === 0 || asked === 'language' ? take(readLanguage(message, asked), doubt) : undefined;
  if (language) values.language = language;
  return conclude(turn, values, doubt);
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

const endsAsQuestion = ({ tokens }: Message): boolean => tokens.at(-1)?.kind === 'mark' && tokens.at(-1)?.text === '?';

const conclude = ({ message, request }: Turn, values: ReadValues, { doubtful }: Doubt): Reading => {
  const hasValues = Object.keys(values).length > 0;
  const answered =
    request.asked === null ? hasValues : SLOT_VALUES[request.asked].some((key) => values[key] !== undefined);
  const found = values.language ? null : readIntent(message, hasValues, answered);
  const intent = found === 'unsure' && values.answer ? null : found;
  const asks = endsAsQuestion(message) && !values.language;
  const confidence = hasValues ? (doubtful || asks ? 'confirm' : 'sure') : intent ? 'sure' : 'none';
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
      const scope = readScope(message, request.anyChild);
      return readTurn({ message, scope, request, context, today: context.today ?? DEFAULT_TODAY });
    },
    recogniseLanguage: createRecogniser(lexicons),
  };
};
