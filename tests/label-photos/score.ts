import type { LabelFields } from '#dialogs/understanding/label-print.ts';
import type { Label } from './labels.ts';

export interface Score {
  readonly expected: number;
  readonly right: number;
  /** Offered with another value than is printed, or not printed at all. */
  readonly wrong: number;
  readonly offered: number;
  /** Photos of which nothing is offered: "please type it". */
  readonly silent: number;
  readonly photos: number;
}

export const NO_SCORE: Score = { expected: 0, right: 0, wrong: 0, offered: 0, silent: 0, photos: 0 };

const same = (a: string | number, b: string | number | undefined): boolean =>
  typeof a === 'number' && typeof b === 'number' ? Math.abs(a - b) < 1e-6 : a === b;

/** Dates and limits, as the goal counts them; the model number apart from them. */
export const isCounted = (path: string): boolean => path !== 'modelNumber';

export function wrongPaths({ truth }: Label, fields: LabelFields): readonly string[] {
  return Object.entries(fields)
    .filter(([path, { value }]) => !same(value, truth[path]))
    .map(([path]) => path);
}

export function scored(sum: Score, label: Label, fields: LabelFields, counts: (path: string) => boolean): Score {
  const paths = Object.keys(label.truth).filter(counts);
  const offered = Object.keys(fields).filter(counts);
  return {
    expected: sum.expected + paths.length,
    right: sum.right + paths.filter((path) => same(label.truth[path] ?? '', fields[path]?.value)).length,
    wrong: sum.wrong + wrongPaths(label, fields).filter(counts).length,
    offered: sum.offered + offered.length,
    silent: sum.silent + (offered.length === 0 ? 1 : 0),
    photos: sum.photos + 1,
  };
}
