import { chance } from './chance.ts';
import { FAMILY_KINDS, type FamilyKind, familyOf } from './family.ts';
import { type Interview, interview } from './interview.ts';

const SEED = 20260516;
const FAMILIES_A_KIND = 15;

export interface Figures {
  readonly families: number;
  /** Questions for the first child, those about the whole family among them: median and 90th percentile. */
  readonly first: readonly [number, number];
  /** Questions for each further child in a vehicle already known; null without one. */
  readonly further: readonly [number, number] | null;
  readonly lost: number;
  readonly invented: number;
  readonly misadvised: number;
}

/** The value below or at which this share of the values lies (nearest rank). */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? 0;
}

const spread = (values: readonly number[]): readonly [number, number] => [
  percentile(values, 0.5),
  percentile(values, 0.9),
];

/** How many questions were about the first child or the whole family, and about each further child. */
function counts({ asked, family }: Interview): { first: number; further: readonly number[] } {
  const about = (child: string): number => asked.filter((each) => each.child === child).length;
  const further = family.truth.children.slice(1).map(({ id }) => about(id));
  return { first: asked.length - further.reduce((sum, n) => sum + n, 0), further };
}

export function figuresOf(interviews: readonly Interview[]): Figures {
  const counted = interviews.map(counts);
  const further = counted.flatMap((each) => each.further);
  const sum = (of: (each: Interview) => readonly unknown[]): number =>
    interviews.reduce((total, each) => total + of(each).length, 0);
  return {
    families: interviews.length,
    first: spread(counted.map(({ first }) => first)),
    further: further.length > 0 ? spread(further) : null,
    lost: sum(({ lost }) => lost),
    invented: sum(({ invented }) => invented),
    misadvised: sum(({ misadvised }) => misadvised),
  };
}

/** All generated families, interviewed; the same on every run. */
export function interviewAll(terse = false, seed = SEED): ReadonlyMap<FamilyKind, readonly Interview[]> {
  const choices = chance(seed);
  return new Map(
    FAMILY_KINDS.map((kind) => [
      kind,
      Array.from({ length: FAMILIES_A_KIND }, () => interview(familyOf(choices, kind), terse)),
    ]),
  );
}
