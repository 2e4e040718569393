import type { Interval } from '#shared/interval.ts';
import type { Birthday } from './birthdays.ts';
import { numberAt } from './numbers.ts';
import type { Quantity } from './quantities.ts';
import type { Range } from './types.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

export interface ReadAge {
  readonly months: Range;
  readonly doubtful: boolean;
}

const MOST_YEARS = 12;
const MOST_MONTHS = 216;

const PARTING = ',.;!?\n';

const isParted = ({ tokens }: Message, from: number, to: number): boolean =>
  tokens.slice(from, to).some(({ kind, text }) => kind === 'mark' && PARTING.includes(text));

/** The relation said just before an age, or just after it where the language puts it there. */
const relationBeside = (message: Message, quantity: Quantity): string | null => {
  const names = ['almost', 'just-turned', 'more-than', 'less-than', 'a-little', 'turning'];
  const hits = hitsOf(message, 'relation', ...names);
  let best: { name: string; away: number } | null = null;
  for (const { name, start, end } of hits) {
    const follows = start >= quantity.end;
    // "2 años y medio, casi 30 libras": what leads up to another number belongs to that one.
    const elsewhere = follows && (numberAt(message, end) !== null || hitAt(message, 'quantity', end) !== null);
    if (elsewhere || isParted(message, follows ? quantity.end : end, follows ? start : quantity.start)) continue;
    const away = end <= quantity.start ? quantity.start - end : start >= quantity.end ? start - quantity.end : 0;
    if (away <= 3 && (best === null || away < best.away)) best = { name, away };
  }
  if (best) return best.name;
  // "cumplió 3 ayer", "li fè 3 an yè"
  const days = hitsOf(message, 'relative-day').filter(({ name }) => Number(name) < 0);
  const birthday = days.some(({ start, end }) => start === quantity.end || end === quantity.start);
  return birthday ? 'just-turned' : null;
};

const bareYears = (quantity: Quantity): ReadAge | null => {
  const [low, high] = quantity.said;
  if (low < 0 || !quantity.number) return null;
  if (low > MOST_YEARS) {
    const whole = Number.isInteger(low) && Number.isInteger(high);
    return whole && high <= 48 ? { months: [low, high], doubtful: true } : null;
  }
  const whole = Math.floor(low + 1e-9);
  const part = low - whole;
  const { decimals, fraction } = quantity.number;
  const odd = decimals !== '' && !['5', '50', '25', '75'].includes(decimals);
  if (part < 1e-9) {
    if (quantity.range) return { months: [whole * 12, Math.floor(high) * 12 + 11], doubtful: true };
    return { months: [whole * 12, whole * 12 + 11], doubtful: low === 0 };
  }
  const first = whole * 12 + Math.round(part * 12);
  const halves = Math.abs(part - 0.5) < 1e-9;
  return { months: [first, first + (halves ? 5 : 2)], doubtful: odd && fraction === null };
};

const related = (relation: string | null, age: ReadAge, byMonth: boolean): ReadAge => {
  const [low, high] = age.months;
  if (relation === 'almost') return { ...age, months: byMonth ? [low - 1, low - 1] : [low - 3, low - 1] };
  if (relation === 'just-turned') return { ...age, months: byMonth && low % 12 !== 0 ? [low, low] : [low, low + 1] };
  if (relation === 'turning') return { months: byMonth ? [low - 1, low - 1] : [low - 3, low - 1], doubtful: true };
  if (relation === 'a-little') return { months: [low, high], doubtful: true };
  if (relation === 'more-than') return { months: [low, high], doubtful: true };
  if (relation === 'less-than') return { months: [Math.max(0, low - 12), Math.max(0, low - 1)], doubtful: true };
  return age;
};

/** Completed months of a quantity taken for an age; null where it cannot be a child's. */
export const resolveAge = (message: Message, quantity: Quantity, birthday: Birthday | null = null): ReadAge | null => {
  const plain = quantity.value ? { months: quantity.value, doubtful: quantity.doubtful } : bareYears(quantity);
  if (!plain || plain.months[1] > MOST_MONTHS + 11) return null;
  const byMonth = quantity.unit !== null && quantity.unit !== 'year';
  const counting = hitsOf(message, 'cue', 'counting-age').length > 0 && !byMonth;
  if (counting)
    return { months: [Math.max(0, plain.months[0] - 24), Math.max(0, plain.months[1] - 12)], doubtful: true };
  const [years, last] = plain.months;
  const whole = !byMonth && !quantity.compound && !quantity.range && years % 12 === 0 && last - years === 11;
  if (birthday && whole && years > 0) {
    const [first, until] = birthday.months;
    return { months: [years + first, years + until], doubtful: plain.doubtful || birthday.doubtful };
  }
  const beside = relationBeside(message, quantity);
  // "she'll be 3 next week": a birthday to come, however it is said.
  const simple = whole || (byMonth && !quantity.compound && !quantity.range && beside === 'almost');
  const coming =
    simple &&
    beside !== 'turning' &&
    hitsOf(message, 'relation', 'turning').some(({ start, end }) =>
      start >= quantity.end ? !isParted(message, quantity.end, start) : !isParted(message, end, quantity.start),
    );
  const age = related(coming ? 'turning' : beside, plain, byMonth);
  const [low, high] = age.months;
  if (low < 0) return { months: [0, Math.max(0, high)], doubtful: true };
  return high > MOST_MONTHS ? { ...age, doubtful: true } : age;
};

/** "newborn", unless a number of weeks or months says otherwise. */
export const readNewborn = (message: Message): ReadAge | null => {
  const [hit] = hitsOf(message, 'cue', 'newborn');
  return hit && hitAt(message, 'cue', hit.start, 'newborn') ? { months: [0, 0], doubtful: false } : null;
};

export const asInterval = (age: number | Range | undefined): Interval | null => {
  if (age === undefined) return null;
  return typeof age === 'number' ? { min: age, max: age } : { min: age[0], max: age[1] };
};
