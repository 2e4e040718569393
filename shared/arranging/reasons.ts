import type { SourceId } from '../parameters/sources.ts';

/** What is to be known of a plan: [code, sources]; no source: common practice. In the order in which they are told. */
const TABLE = [
  ['as-today', []],
  ['seats-exchanged', []],
  ['less-protective-mode', ['S-158']],
  ['child-in-front', ['S-097', 'S-142', 'S-157']],
  ['air-bag-active', ['S-097']],
  ['law-not-met', []],
  ['no-adult-place-beside', ['S-167']],
  ['seat-to-replace', ['S-131']],
  ['inflatable-belt', ['S-202']],
  ['check-belt-fit', ['S-155', 'S-195']],
  ['fit-unknown', ['S-150']],
  ['age-unknown', ['S-142']],
  ['row-unknown', ['S-142']],
  ['air-bag-unknown', ['S-096']],
  ['belt-unknown', ['S-090']],
  ['tether-anchor-unknown', ['S-144']],
  ['facing-unknown', ['S-204']],
  ['width-unknown', []],
] as const satisfies readonly (readonly [string, readonly SourceId[]])[];

export type ArrangementReason = (typeof TABLE)[number][0];

/** Every code that `arrange` can give as a reason, with the sources it rests on (none: common practice). */
export const ARRANGEMENT_REASONS: ReadonlyMap<ArrangementReason, readonly SourceId[]> = new Map<
  ArrangementReason,
  readonly SourceId[]
>(TABLE);

const ORDER: readonly ArrangementReason[] = TABLE.map(([code]) => code);

/** Each once, in the order of the table. */
export const sortReasons = (reasons: Iterable<ArrangementReason>): ArrangementReason[] => {
  const found = new Set(reasons);
  return ORDER.filter((code) => found.has(code));
};

/** Reasons that only say what is not known: of two plans that are alike, the one with fewer is better. */
export const isOpen = (reason: ArrangementReason): boolean => reason.endsWith('-unknown');
