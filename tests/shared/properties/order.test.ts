import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { Assessment } from '#shared/assessment.ts';
import type { Case } from '#shared/case.ts';
import { familyCase } from './family-case.ts';

/** A failing case is told as it was made: shrinking whole families takes longer than reading one. */
const settings = { seed: 20260516, endOnFailure: true };

const sorted = <T>(list: readonly T[], key: (item: T) => string): T[] =>
  list.toSorted((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0));

/** An assessment without its order: lists whose order means nothing are sorted. */
const unordered = (assessment: Assessment) => ({
  children: sorted(
    assessment.children.map((child) => ({
      ...child,
      advice: { ...child.advice, needs: child.advice.needs.toSorted() },
    })),
    ({ childId }) => childId,
  ),
  uses: sorted(assessment.uses, ({ childId }) => childId),
  findings: sorted(
    assessment.findings.map((finding) => ({ ...finding, facts: finding.facts.toSorted() })),
    (finding) => JSON.stringify(finding),
  ),
  unknowns: sorted(
    assessment.unknowns.map(({ fact, couldRaise }) => ({ fact, couldRaise: couldRaise.toSorted() })),
    ({ fact }) => fact,
  ),
  visit: { ...assessment.visit, bring: assessment.visit.bring.toSorted() },
});

const turned = <T>(list: readonly T[], by: number): T[] => list.map((_, i) => list[(i + by) % list.length] as T);

describe('the order of a case', () => {
  it('of children, seats, uses and positions does not matter', () => {
    fc.assert(
      fc.property(
        familyCase({ ranges: true }),
        fc.tuple(fc.nat(2), fc.nat(2), fc.nat(2), fc.nat(4)),
        (kase, [a, b, c, d]) => {
          const shuffled: Case = {
            ...kase,
            children: turned(kase.children, a).toReversed(),
            seats: turned(kase.seats, b),
            uses: turned(kase.uses, c).toReversed(),
            vehicle: { ...kase.vehicle, positions: turned(kase.vehicle?.positions ?? [], d).toReversed() },
          };
          expect(unordered(assess(shuffled))).toEqual(unordered(assess(kase)));
        },
      ),
      { ...settings, numRuns: 100 },
    );
  });
});
