/** Facts that a law's clause may turn on and that no other part of a case states; ids as in the law tables. */
export const LAW_FACTS = [
  'outgrown-rear-facing',
  'outgrown-harness',
  'outgrown-booster',
  'forward-facing-minimum-reached',
  'belt-fits',
  'no-rear-seat',
  'rear-seat-unsuitable',
  'rear-seat-impractical',
  'rear-seats-taken-by-children',
  'rear-seats-taken',
  'all-belts-in-use',
  'lap-belt-only',
  'front-airbag-active',
  'restraint-airbag-rated',
  'medical',
  'medical-emergency',
  'unrelated-driver',
  'restraint-r129',
  'restraint-r44',
] as const;

export type LawFact = (typeof LAW_FACTS)[number];
