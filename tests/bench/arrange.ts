import { arrange } from '#shared/arrange.ts';
import { bruteForce } from '../shared/arranging/brute-force.ts';
import { aFamily, place, REAR_BENCH } from '../shared/arranging/families.ts';
import { fewestByTrial } from '../shared/arranging/fewest-by-trial.ts';

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
  // The same family where no place takes a tether and every belt is a lap belt: the fewest changes, against trying all.
  const poor = van.map((one) => ({ ...one, tetherAnchor: false, belt: 'lap-only' as const }));
  const blocked = { ...family, vehicle: { positions: poor } };
  const fewest = arrange(blocked).blockedBy[0]?.length ?? 0;
  const triedFewest = fewestByTrial(blocked, true, fewest);
  if (triedFewest !== fewest) throw new Error(`${fewest} changes against ${triedFewest}`);
  const blockedMilliseconds = median(Array.from({ length: RUNS }, () => timed(() => arrange(blocked))));
  const blockedBaselineMilliseconds = timed(() => fewestByTrial(blocked, true, fewest));
  const baselineMilliseconds = median(Array.from({ length: 3 }, () => timed(() => bruteForce(family))));
  const round = (value: number) => Number(value.toFixed(1));
  return {
    bench: 'arrange',
    plans: total,
    milliseconds: round(milliseconds),
    labelsUnreadMilliseconds: round(unreadMilliseconds),
    fewestChanges: fewest,
    fewestChangesMilliseconds: round(blockedMilliseconds),
    fewestChangesBaselineMilliseconds: round(blockedBaselineMilliseconds),
    baseline: 'trying all',
    baselineMilliseconds: round(baselineMilliseconds),
    ratio: round(baselineMilliseconds / milliseconds),
  };
};

if (import.meta.main) process.stdout.write(`${JSON.stringify(benchArrange())}\n`);
