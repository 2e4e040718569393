import type { Hit } from './patterns.ts';
import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import { hitsOf, type Message } from './words.ts';

const PHONE_DIGITS = 7;
const PAIRS_OF_A_PHONE = 4;
const PHONE_MARKS = '-.()+/';

/** "555 4433", "(555) 201-4433", "0912345678": three digits and four, or more of them. */
const isPhone = (groups: readonly string[]): boolean => {
  const digits = groups.join('').length;
  const [first = '', second = ''] = groups;
  if (groups.length === 1) return digits > PHONE_DIGITS;
  if (groups.length === 2) return (first.length === 3 && second.length === 4) || digits > PHONE_DIGITS + 1;
  // "06 12 55 01 82"
  if (groups.length >= PAIRS_OF_A_PHONE && groups.every(({ length }) => length === 2)) return true;
  return digits >= PHONE_DIGITS && groups.some(({ length }) => length >= 3);
};

/** Tokens of telephone numbers and of times of the day. */
export const findPhonesAndTimes = ({ tokens }: Message): Set<number> => {
  const found = new Set<number>();
  for (const [at, { kind, text }] of tokens.entries())
    if (
      kind === 'mark' &&
      text === ':' &&
      tokens[at - 1]?.kind === 'number' &&
      /^\d\d$/.test(tokens[at + 1]?.text ?? '')
    )
      for (const part of [at - 1, at, at + 1]) found.add(part);
  let at = 0;
  while (at < tokens.length) {
    let end = at;
    const groups: string[] = [];
    for (; end < tokens.length; end++) {
      const token = tokens[end];
      if (token?.kind === 'number' && !token.decimals) groups.push(token.text);
      else if (token?.kind !== 'mark' || !PHONE_MARKS.includes(token.text)) break;
      else if (token.text === '.' && tokens[end + 1]?.spaced) break;
    }
    if (isPhone(groups)) for (let inside = at; inside < end; inside++) found.add(inside);
    at = Math.max(end, at + 1);
  }
  return found;
};

const distance = (hit: Hit, quantity: Quantity): number =>
  hit.start >= quantity.end ? hit.start - quantity.end : quantity.start - hit.end;

const nearest = (hit: Hit, quantities: readonly Quantity[]): Quantity | null =>
  quantities.reduce<Quantity | null>(
    (best, quantity) => (best === null || distance(hit, quantity) < distance(hit, best) ? quantity : best),
    null,
  );

const AGE_WORDS_AWAY = 1;
const BESIDE = 2;

/** "he is 38 lbs and his seat goes to 65": a size said before the seat that another figure is the limit of. */
const isBeforeTheSeat = (message: Message, each: Quantity, limit: Hit, near: readonly Quantity[]): boolean => {
  const seat = hitsOf(message, 'cue', 'seat').find(({ start }) => start >= each.end);
  const parted = hitsOf(message, 'relation', 'and').find(({ start, end }) => start >= each.end && end <= limit.start);
  const from = seat?.end ?? parted?.end ?? null;
  return from !== null && each.end <= limit.start && near.some(({ start }) => start >= from);
};

const MOST_GROWTH = 1.5;

/** Whether a size may be an earlier one of a present size, said with its unit or without. */
const isEarlier = (each: Quantity, present: Quantity): boolean => {
  const grown = present.said[0] / each.said[0];
  // "last time 35, now 36 inches"
  if (each.dimension === null && each.number?.digits === true && present.dimension !== 'age')
    return present.unit !== null && !present.compound && grown > 1 && grown < MOST_GROWTH;
  if (each.dimension !== 'weight' && each.dimension !== 'height') return false;
  if (present.dimension !== null) return each.dimension === present.dimension;
  return present.number?.digits === true && !each.compound && grown > 1 && grown < MOST_GROWTH;
};

const MOST_TO_A_BIRTHDAY = 1;

/** "desde que cumplió los dos", "since the day she turned 2": past the word for the birthday. */
const untilReached = (hit: Hit, came: readonly Hit[], quantities: readonly Quantity[]): Hit => {
  const next = came.find(
    ({ start, end }) =>
      start >= hit.end &&
      start - hit.end <= MOST_TO_A_BIRTHDAY &&
      !quantities.some((each) => each.start >= hit.end && each.start < end),
  );
  return next ? { ...hit, end: next.end } : hit;
};

/** The quantities that are no answer: a birth weight, a seat's limit, another child's, an earlier size, a shoe size. */
export const findDistractors = (
  message: Message,
  scope: Scope,
  quantities: readonly Quantity[],
  ageAsked: boolean,
): Map<Quantity, string> => {
  const dropped = new Map<Quantity, string>();
  const byClause = new Map<number, Quantity[]>();
  for (const quantity of quantities) {
    const clause = scope.clause[quantity.start] ?? 0;
    byClause.set(clause, [...(byClause.get(clause) ?? []), quantity]);
    if (scope.other[quantity.start]) dropped.set(quantity, 'other-child');
  }
  const came = [...hitsOf(message, 'relation', 'just-turned'), ...hitsOf(message, 'cue', 'reached')];
  const born = hitsOf(message, 'cue', 'born');
  const ages = quantities.filter(({ dimension }) => dimension === 'age').length;
  const sameClause = (one: Hit, two: Hit) => scope.clause[one.start] === scope.clause[two.start];
  const leadsTo = (hit: Hit, each: Quantity) =>
    hit.end <= each.start && !quantities.some(({ start, end }) => start >= hit.end && end <= each.start);
  const sizes = (clause: number) => (byClause.get(clause) ?? []).filter(({ dimension }) => dimension !== 'age');
  const given = hitsOf(message, 'cue', 'at-birth', 'limit', 'ignore', 'since', 'turned', 'duration');
  const spans = given.map((hit) => (hit.name === 'since' && !ageAsked ? untilReached(hit, came, quantities) : hit));
  for (const hit of spans) {
    // "от 11 до 12 кг": a word inside a range only joins it.
    if (quantities.some(({ start, end }) => hit.start >= start && hit.end <= end)) continue;
    const clause = scope.clause[hit.start] ?? 0;
    const near = byClause.get(clause) ?? [];
    if (hit.name === 'limit') {
      for (const each of near) if (!isBeforeTheSeat(message, each, hit, near)) dropped.set(each, 'limit');
    } else if (hit.name === 'ignore') {
      // A number with a unit of its own is no shoe size; "3 weeks early" is one phrase.
      const plain = near.filter(({ unit, end }) => unit === null || (hit.start < end && hit.end >= end));
      const found = nearest(hit, plain);
      // What is written onto the number must touch it: "30명".
      const reach = hit.pattern.inside ? 0 : BESIDE;
      const touches = !hit.pattern.inside || found?.end === hit.start;
      if (found && touches && distance(hit, found) <= reach) dropped.set(found, 'ignore');
    } else if (hit.name === 'at-birth') {
      const ends = scope.clause[hit.end] !== clause || scope.clause[hit.end + 1] !== clause;
      const next = scope.turns.has(clause + 1) || !ends ? [] : sizes(clause + 1).slice(0, 1);
      const found = nearest(hit, sizes(clause)) ?? next[0];
      if (found) dropped.set(found, 'at-birth');
    } else {
      const reach = hit.name === 'turned' ? Number.POSITIVE_INFINITY : hit.name === 'since' ? AGE_WORDS_AWAY : 0;
      for (const each of near) {
        const follows = each.start >= hit.end || (hit.name === 'duration' && each.end <= hit.start);
        // "il a eu 3 ans il y a deux mois": of an age on both sides the later one is the span.
        const between =
          hit.name === 'duration' &&
          each.end === hit.start &&
          near.some(({ start, dimension }) => start === hit.end && dimension === 'age');
        // "il a eu 6 ans il y a quelques jours", "born 11 days ago"
        const lived =
          hit.name === 'duration' &&
          ((each.end <= hit.start && came.some((other) => leadsTo(other, each) && sameClause(other, hit))) ||
            (ages === 1 && born.some((other) => sameClause(other, hit))));
        // "明天满两岁": the word for "since" may tell of the birthday to come.
        const coming =
          hit.name === 'since' &&
          came.some((other) => other.start === hit.start && other.end === hit.end) &&
          hitsOf(message, 'relation', 'turning', 'just-turned').length > 0;
        // "this is for my 14 month old"
        const whose =
          hit.name === 'since' && hitsOf(message, 'cue', 'old').some(({ end }) => end === each.start && end > hit.end);
        // "lo volteamos a los 2"
        // "markuu laba jirsaday": the birthday's word before the number, or behind it.
        const reached =
          hit.name === 'since' && !ageAsked && came.some(({ start, end }) => end === hit.end || start === each.end);
        const isAge =
          each.dimension === 'age' || (each.dimension === null && (reached || (ageAsked && hit.name === 'turned')));
        const later = hit.name === 'turned' && !leadsTo(hit, each);
        if (isAge && !later && follows && !between && !lived && !coming && !whose && distance(hit, each) <= reach)
          dropped.set(each, hit.name);
      }
    }
  }
  // "I weigh 150, together 182, so 32"
  for (const hit of hitsOf(message, 'cue', 'so')) {
    const outcome = quantities.find(({ start }) => start >= hit.end && start - hit.end <= BESIDE);
    const parts = quantities.filter((each) => each.end <= hit.start && each.dimension !== 'age');
    const [larger = 0, least = 0] = parts.map(({ said }) => said[0]).sort((a, b) => b - a);
    if (!outcome || parts.length !== 2 || larger - least !== outcome.said[0]) continue;
    for (const part of parts) dropped.set(part, 'sum');
    dropped.delete(outcome);
  }
  // "I typed 43 but it's 34"
  for (const hit of hitsOf(message, 'cue', 'typed')) {
    const typed = quantities.find(({ start }) => start >= hit.end && start - hit.end <= AGE_WORDS_AWAY);
    const meant = quantities.at(-1);
    if (typed && meant && typed !== meant && quantities.length === 2 && !dropped.has(meant))
      dropped.set(typed, 'mistyped');
  }
  // "8 going on 9": the second is no age yet.
  for (const hit of hitsOf(message, 'relation', 'a-little')) {
    const next = quantities.find(({ start, dimension }) => start === hit.end && (dimension ?? 'age') === 'age');
    if (next && quantities.some(({ end, dimension }) => end === hit.start && (dimension ?? 'age') === 'age'))
      dropped.set(next, 'going-on');
  }
  for (const hit of hitsOf(message, 'relation', 'about')) {
    // "28 pounds give or take a pound": how far off the guess may be.
    const guess = quantities.find(({ end }) => end === hit.start);
    const slack = quantities.find(({ start }) => start === hit.end);
    if (guess && slack && slack.dimension !== null && slack.said[1] < guess.said[0]) dropped.set(slack, 'slack');
  }
  for (const hit of hitsOf(message, 'relation', 'almost')) {
    // "le faltan dos semanas para los 4": what is still to go.
    const leads = quantities.some(({ start }) => start === hit.end);
    for (const each of quantities) {
      const within = hit.pattern.gapped && each.start >= hit.start && each.end <= hit.end;
      const short = each.unit === 'week' || each.unit === 'day' || each.unit === 'month';
      if (within || (leads && short && each.end === hit.start)) dropped.set(each, 'to-go');
    }
  }
  for (const hit of hitsOf(message, 'relation', 'now')) {
    // "at 12 months 20 lbs, now 28 lbs"
    const clause = scope.clause[hit.start] ?? 0;
    const next = message.tokens[hit.end];
    const closes = next === undefined || next.kind === 'mark';
    // "19 lb at the checkup, probably 20 now"
    const behind = closes ? quantities.find(({ end }) => end === hit.start) : undefined;
    const present = behind ?? (byClause.get(clause) ?? []).find(({ start }) => start >= hit.start);
    if (present === undefined || dropped.has(present)) continue;
    for (const each of quantities)
      if (each.end <= present.start && (behind || (scope.clause[each.start] ?? 0) < clause) && isEarlier(each, present))
        dropped.set(each, 'earlier');
  }
  for (const hit of hitsOf(message, 'relation', 'past')) {
    const clause = scope.clause[hit.start] ?? 0;
    const found = nearest(hit, sizes(clause));
    // An earlier size is no answer only where the present one is said too.
    const present = quantities.some(
      (each) =>
        each !== found &&
        !dropped.has(each) &&
        (each.dimension === null || found?.dimension === null || each.dimension === found?.dimension),
    );
    if (found && present && !dropped.has(found)) dropped.set(found, 'past');
  }
  return dropped;
};
