import type { FoundDate } from './dates.ts';
import type { Found } from './found.ts';
import { digitYearAt, numberAt } from './numbers.ts';
import type { Hit } from './patterns.ts';
import type { Scope } from './scope.ts';
import { isClearlyTakenBack } from './taken-back.ts';
import type { AskedSlot } from './types.ts';
import { isKnown } from './vocabulary.ts';
import { hitAt, hitsOf, type Message, wordsOutside } from './words.ts';

interface Candidate {
  readonly year: number;
  readonly start: number;
  readonly end: number;
  readonly doubtful: boolean;
}

const OLDEST = 1980;

const isQuote = (message: Message, at: number): boolean =>
  message.tokens[at]?.kind === 'mark' && message.tokens[at]?.text === "'";

/** A model year at a token: "2016", "'16", "09", "16-го года", "del 09"; a bare "16" only where it stands for a year. */
const yearAt = (message: Message, at: number, newest: number, asked: boolean): Candidate | null => {
  const token = message.tokens[at];
  const century = Math.floor(newest / 100) * 100;
  const near = (two: number) => (century + two <= newest ? century + two : century - 100 + two);
  const settled = (year: number, end: number, doubtful = false) =>
    year >= OLDEST && year <= newest ? { year, start: at, end, doubtful } : null;
  if (token?.kind === 'number') {
    if (token.decimals !== '' || message.tokens[at - 1]?.text === '/') return null;
    if (token.text.length === 4) return settled(Number(token.text), at + 1);
    if (token.text.length !== 2) return null;
    const marked =
      isQuote(message, at - 1) ||
      hitAt(message, 'date-after', hitAt(message, 'ordinal', at + 1)?.end ?? at + 1, 'year') !== null ||
      hitsOf(message, 'date-before', 'year').some(({ end }) => end === at);
    if (marked) return settled(near(Number(token.text)), at + 1);
    if (!asked) return null;
    const linked = hitsOf(message, 'date-linker').some(({ end }) => end === at);
    // "i live on 14 oak street"
    const alone = wordsOutside(message, () => true) <= 1 && hitsOf(message, 'cue', 'residence').length === 0;
    const plain = token.text.startsWith('0') || ((linked || hitAt(message, 'ordinal', at + 1) !== null) && alone);
    return settled(near(Number(token.text)), at + 1, !plain);
  }
  const spelt = digitYearAt(message, at);
  if (spelt) return settled(spelt.year, spelt.end);
  // "一五年"
  const short = digitYearAt(message, at, 2);
  const led = short && (hitAt(message, 'date-after', short.end, 'year') || (asked && short.year < 10));
  if (short && led) return settled(near(short.year), short.end);
  const said = numberAt(message, at);
  if (!said || said.digits) return null;
  // "две тысячи семнадцатый": a year may go on in a word that is not known.
  const goesOn = message.tokens[said.end];
  const unknown = goesOn?.kind === 'word' && !isKnown(message.vocabulary, goesOn.text);
  if (said.value >= OLDEST && said.value <= newest) return settled(said.value, said.end, unknown);
  // "четырнадцатого года"
  const ordinal = asked && said.value < 100 && said.value >= 1 && !message.vocabulary.lexicon.dates.cuesFollow;
  if (ordinal && Number.isInteger(said.value) && hitAt(message, 'date-after', said.end, 'year'))
    return settled(near(said.value), said.end);
  const pair = said.value === 20 || said.value === 19 ? numberAt(message, said.end) : null;
  if (!message.vocabulary.lexicon.numbers.yearPairs || !pair || pair.digits || pair.value < 1 || pair.value > 99)
    return null;
  return settled(said.value * 100 + pair.value, pair.end);
};

/** How much further off a word counts on the side where the language does not put it. */
const WRONG_SIDE = 2;

const MOST_TO_A_YEAR = 2;

const hasOwnYear = (message: Message, from: number): boolean =>
  hitsOf(message, 'relative-year').some(({ start }) => start >= from && start - from <= MOST_TO_A_YEAR);

/** The cue that decides what a year is: the nearest one in its clause, before or after. */
const roleOf = (
  message: Message,
  scope: Scope,
  { start, end }: Candidate,
  all: readonly Candidate[],
  asked: AskedSlot | null,
): string | null => {
  const { cuesFollow } = message.vocabulary.lexicon.dates;
  // "2018년에 샀어요": past the word for the year.
  const from = hitAt(message, 'date-after', end, 'year')?.end ?? end;
  const years = all.filter((each) => each.start !== start && scope.clause[each.start] === scope.clause[start]);
  // "٢٠١٨ وشريتها ٢٠٢١": a purchase is dated by one year, the nearest.
  const isOfAnother = (hit: Hit, others: readonly Candidate[]) => {
    const off = (each: { readonly start: number; readonly end: number }) =>
      (hit.end <= each.start ? each.start - hit.end : hit.start - each.end) +
      (hit.end <= each.start === cuesFollow ? WRONG_SIDE : 0);
    return others.some((each) => off(each) < off({ start, end }));
  };
  let best: { name: string; away: number } | null = null;
  for (const hit of hitsOf(message, 'cue', 'vehicle', 'bought', 'made', 'expiry', 'born', 'seat')) {
    if (scope.clause[hit.start] !== scope.clause[start]) continue;
    // "pitong upuan": seats are counted.
    const counted = hit.name === 'seat' && hitsOf(message, 'number').some(({ end }) => end === hit.start);
    if (counted && asked === 'vehicle') continue;
    const before = hit.end <= start;
    // "bought used last year it's an '11": that purchase has its year.
    if (hit.name === 'bought' && (hasOwnYear(message, hit.end) || isOfAnother(hit, years))) continue;
    const beside = hit.name === 'vehicle' && hit.start === end;
    const away = beside ? -1 : (before ? start - hit.end : hit.start - from) + (before === cuesFollow ? WRONG_SIDE : 0);
    if (best === null || away < best.away) best = { name: hit.name, away };
  }
  return best?.name ?? null;
};

const MOST_OF_A_NAME = 3;

/** "Zorvex Trail 2019, …": a part of the message that holds nothing but a year and words nobody knows, as a make would be. */
const isBesideAName = (message: Message, scope: Scope, { start, end }: Candidate): boolean => {
  const clause = scope.clause[start];
  const own = [...message.tokens.entries()].filter(([at]) => scope.clause[at] === clause && (at < start || at >= end));
  const words = own.filter(([, { kind }]) => kind === 'word');
  const names = words.filter(
    ([at, { text }]) => !isKnown(message.vocabulary, text) && (message.hits[at] ?? []).length === 0,
  );
  const others = own.filter(([, { kind }]) => kind === 'number').length;
  return others === 0 && names.length > 0 && names.length === words.length && words.length <= MOST_OF_A_NAME;
};

/** "the old '05 we sold" */
const isSold = (message: Message, scope: Scope, { start }: Candidate): boolean =>
  hitsOf(message, 'cue', 'sold').some((hit) => scope.clause[hit.start] === scope.clause[start]);

const MOST_TO_A_DENIED_YEAR = 4;

const isDenied = (message: Message, scope: Scope, { start }: Candidate): boolean =>
  hitsOf(message, 'relation', 'not').some(
    (hit) =>
      hitAt(message, 'relation', hit.start, 'correction') === null &&
      hit.end <= start &&
      start - hit.end <= MOST_TO_A_DENIED_YEAR &&
      scope.clause[hit.start] === scope.clause[start],
  );

const NOT_THE_CAR = ['bought', 'made', 'expiry', 'born', 'seat'];

/** The model year, and not the year of purchase; unasked only where a vehicle is spoken of. */
export const readVehicleYear = (
  message: Message,
  scope: Scope,
  dates: readonly FoundDate[],
  taken: ReadonlySet<number>,
  today: string,
  asked: AskedSlot | null,
): Found<number> | null => {
  const newest = Number(today.slice(0, 4)) + 1;
  const spoken = hitsOf(message, 'cue', 'vehicle').length > 0;
  const open = asked !== 'vehicle' && !spoken;
  if (open && asked !== null) return null;
  const inDate = new Set(
    dates
      .filter(({ relative }) => !relative)
      .flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)),
  );
  const found: Candidate[] = [];
  let at = 0;
  while (at < message.tokens.length) {
    const year = taken.has(at) || inDate.has(at) ? null : yearAt(message, at, newest, asked === 'vehicle');
    if (year) found.push(year);
    at = year ? year.end : at + 1;
  }
  const cars = found.filter(
    (year) =>
      (!open || isBesideAName(message, scope, year)) &&
      !NOT_THE_CAR.includes(roleOf(message, scope, year, found, asked) ?? '') &&
      !scope.other[year.start],
  );
  // "a 2008 truck, ours since 2015"
  const since = new Set(hitsOf(message, 'cue', 'since', 'bought').map(({ end }) => end));
  // "my mom's 2013 sedan, bought the car in '20"
  const named = ({ end }: Candidate) => hitsOf(message, 'cue', 'vehicle').some(({ start }) => start === end);
  const bought = hitsOf(message, 'cue', 'bought');
  const isPurchase = (each: Candidate) =>
    cars.some(named) &&
    !named(each) &&
    bought.some(({ start }) => start < each.start && scope.clause[start] === scope.clause[each.start]);
  // "we sold the '05, now it's a 2018", "the '18, not the old '05"
  const nows = hitsOf(message, 'relation', 'now');
  const isGone = (each: Candidate) =>
    isDenied(message, scope, each) ||
    cars.some(
      (other) => other.start > each.start && nows.some(({ start }) => start >= each.end && start < other.start),
    ) ||
    isSold(message, scope, each);
  const present = cars.filter((each) => !isGone(each));
  const left = present.length > 0 ? present : cars;
  const own = left.filter((each) => !since.has(each.start) && !isPurchase(each));
  const sure = (own.length > 0 ? own : left).filter(({ doubtful }) => !doubtful);
  const used = sure.length > 0 ? sure : left;
  const last = used.at(-1);
  if (!last) return null;
  const before = used.at(-2);
  const settled = used.length === 2 && before !== undefined && isClearlyTakenBack(message, before.end, last.start);
  const several = new Set(used.map(({ year }) => year)).size > 1;
  return { value: last.year, doubtful: last.doubtful || (several && !settled) };
};
