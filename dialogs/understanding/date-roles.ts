import { firstDay } from '#shared/dates.ts';
import type { FoundDate } from './dates.ts';
import type { Scope } from './scope.ts';
import { isClearlyTakenBack } from './taken-back.ts';
import type { Doubt, Turn } from './turn.ts';
import type { AskedSlot, ReadValues } from './types.ts';
import { hitsOf, type Message } from './words.ts';

const near = (message: Message, name: string, date: FoundDate, scope: Scope): boolean =>
  hitsOf(message, 'cue', name).some(({ start }) => scope.sentence[start] === scope.sentence[date.start]);

const MOST_TO_A_LIFE = 3;

/** How much further off a word counts where the language puts it on the other side. */
const WRONG_SIDE = 2;

const nearestRole = (message: Message, scope: Scope, date: FoundDate, asked: AskedSlot | null): string | null => {
  if (date.born) return 'born';
  let best: { name: string; away: number } | null = null;
  const years = [...message.tokens.keys()].filter((at) => /^\d{4}$/.test(message.tokens[at]?.text ?? ''));
  for (const hit of hitsOf(message, 'cue', 'born', 'made', 'bought', 'expiry')) {
    if (scope.sentence[hit.start] !== scope.sentence[date.start]) continue;
    // "January 2022, good for 7 years"
    const life = hitsOf(message, 'unit', 'year').some(
      ({ start }) => start > hit.end && start - hit.end <= MOST_TO_A_LIFE,
    );
    if (hit.name === 'expiry' && hit.start >= date.end && life) continue;
    // "bought in 2021, label says January 2020": that purchase has its year.
    const apart = hit.name === 'bought' && scope.clause[hit.start] !== scope.clause[date.start];
    if (apart && years.some((at) => scope.clause[at] === scope.clause[hit.start])) continue;
    // "May 2022, bought it new": may be when, or a further word about the seat.
    if (apart && asked === 'date') continue;
    const wrong = message.vocabulary.lexicon.dates.cuesFollow ? [WRONG_SIDE, 0] : [0, 1];
    const [ahead = 0, behind = 0] = wrong;
    const away =
      hit.end <= date.start ? date.start - hit.end + ahead : hit.start >= date.end ? hit.start - date.end + behind : 0;
    if (best === null || away < best.away) best = { name: hit.name, away };
  }
  return best?.name ?? null;
};

/** "born yesterday", never "was born early, today he weighs". */
const isTogether = (message: Message, scope: Scope, date: FoundDate): boolean =>
  hitsOf(message, 'cue', 'born').some(({ start }) => scope.clause[start] === scope.clause[date.start]);

/** "the seat is from March 2019": in the seat's own part of the message, and not how long it has been in use. */
const isOfSeat = (message: Message, scope: Scope, date: FoundDate): boolean => {
  const says = (...cues: readonly string[]) =>
    hitsOf(message, 'cue', ...cues).some(({ start }) => scope.clause[start] === scope.clause[date.start]);
  const since = hitsOf(message, 'cue', 'since').some(
    ({ end, pattern }) => end === date.start && pattern.words.length > 1,
  );
  // "o bebê conforto" is a seat.
  const seats = [...hitsOf(message, 'cue', 'seat'), ...hitsOf(message, 'kind')];
  const child = hitsOf(message, 'cue', 'this-child').some(
    (hit) =>
      scope.clause[hit.start] === scope.clause[date.start] &&
      !seats.some(({ start, end }) => hit.start < end && hit.end > start),
  );
  const named = hitsOf(message, 'kind').some(({ start }) => scope.clause[start] === scope.clause[date.start]);
  return (named || says('seat', 'limit')) && !child && !says('bought', 'tenure') && !since;
};

/** Which date is a birth and which a manufacture: the word nearest to it says, else the question. */
export const readDates = (
  { message, scope, request, today }: Turn,
  dates: readonly FoundDate[],
  /** An age is said too: "yesterday" tells of the birthday then. */
  aged: boolean,
  doubt: Doubt,
): Pick<ReadValues, 'birthDate' | 'date'> => {
  const found: { birthDate?: FoundDate; date?: FoundDate; expiry?: FoundDate } = {};
  let twice = false;
  const isSecond = (first: FoundDate | undefined, next: FoundDate) =>
    first !== undefined && first.value !== next.value && !isClearlyTakenBack(message, first.end, next.start);
  for (const date of dates) {
    const nearest = nearestRole(message, scope, date, request.asked);
    // "chèz la fèt mas 2019": the word for "born" may mean made.
    const role = nearest === 'born' && !date.born && isOfSeat(message, scope, date) ? 'made' : nearest;
    // A purchase with a year of its own says nothing of this date.
    const bought = hitsOf(message, 'cue', 'bought').some(
      ({ start }) =>
        scope.sentence[start] === scope.sentence[date.start] &&
        !message.tokens.some(({ text }, at) => /^\d{4}$/.test(text) && scope.clause[at] === scope.clause[start]),
    );
    if (date.relative && (role !== 'born' || aged || !isTogether(message, scope, date))) continue;
    const past = firstDay(date.value) <= today;
    if (role === 'bought' || scope.other[date.start]) continue;
    if (role === 'born' || (role === null && request.asked === 'age')) {
      if (!past) continue;
      twice ||= isSecond(found.birthDate, date);
      found.birthDate = date;
    } else if (role === 'expiry') found.expiry = date;
    else if (role === 'made' || (role === null && request.asked === 'date')) {
      twice ||= isSecond(found.date, date) || (role === null && bought);
      found.date = date;
    } else if (role === null && past && isOfSeat(message, scope, date)) {
      twice ||= isSecond(found.date, date);
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
