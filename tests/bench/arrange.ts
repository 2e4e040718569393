import { arrange } from '#shared/arrange.ts';
import { bruteForce } from '../shared/arranging/brute-force.ts';
import { aFamily, place, REAR_BENCH } from '../shared/arranging/families.ts';

const RUNS = 41;

const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;

const timed = (run: () => unknown): number => {
  const start = process.hrtime.bigint();
  run();
  return Number(process.hrtime.bigint() - start) / 1e6;
};

/** Six children, each with a seat, in a van with eight positions: the search against trying all, in the same process. */
export const benchArrange = () => {
  const van = [...REAR_BENCH, place('p3L'), place('p3C'), place('p3R'), place('p1C'), place('p1R')];
  const family = aFamily(
    [
      { child: 'baby', seat: 'infant' },
      { child: 'baby', seat: 'convertible' },
      { child: 'three', seat: 'convertible' },
      { child: 'four', seat: 'combination' },
      { child: 'seven', seat: 'booster' },
      { child: 'eleven', seat: null },
    ],
    van,
  );
  const unread = { ...family, seats: family.seats.map(({ id, kind }) => ({ id, kind })) };
  const { total } = arrange(family);
  const tried = bruteForce(family).length;
  if (tried !== total) throw new Error(`${total} plans against ${tried}`);
  const milliseconds = median(Array.from({ length: RUNS }, () => timed(() => arrange(family))));
  const unreadMilliseconds = median(Array.from({ length: RUNS }, () => timed(() => arrange(unread))));
  const baselineMilliseconds = median(Array.from({ length: 3 }, () => timed(() => bruteForce(family))));
  const round = (value: number) => Number(value.toFixed(1));
  return {
    bench: 'arrange',
    plans: total,
    milliseconds: round(milliseconds),
    labelsUnreadMilliseconds: round(unreadMilliseconds),
    baseline: 'trying all',
    baselineMilliseconds: round(baselineMilliseconds),
    ratio: round(baselineMilliseconds / milliseconds),
  };
};

if (import.meta.main) process.stdout.write(`${JSON.stringify(benchArrange())}\n`);
