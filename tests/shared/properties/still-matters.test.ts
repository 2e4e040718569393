import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { Case } from '#shared/case.ts';
import { stillMatters } from '#shared/still-matters.ts';
import { openFacts, withFact } from './fact-values.ts';
import { likelyCase } from './likely-case.ts';
import { unusualCase } from './unusual-case.ts';

/** A failing case is told as it was made: shrinking whole families takes longer than reading one. */
const settings = { seed: 20260516, endOnFailure: true };

/** What a fact can still change: advice, findings, uses, law and visit. What the advice needs follows from the rest. */
const outcome = (kase: Case): string => {
  const { children, uses, findings, visit } = assess(kase);
  return JSON.stringify([
    children.map(({ childId, advice: { needs: _, ...advice }, law }) => ({ childId, advice, law })),
    uses,
    findings
      .map(({ code, urgency, childId, seatId, positionId }) => [code, urgency, childId, seatId, positionId])
      .sort(),
    visit,
  ]);
};

/** Two exact completions of the one fact, all others left as they are, with different outcomes. */
function matters(kase: Case, path: string, values: readonly unknown[]): boolean {
  const [first, ...others] = values;
  const before = outcome(withFact(kase, path, first));
  return others.some((value) => outcome(withFact(kase, path, value)) !== before);
}

function disagreements(kase: Case): string[] {
  return openFacts(kase).flatMap(({ path, values }) => {
    const claimed = stillMatters(kase, path);
    return claimed === matters(kase, path, values) ? [] : [`${path}: stillMatters ${claimed}`];
  });
}

describe('stillMatters', () => {
  it('agrees with trying every completion of the fact, others exact', () => {
    fc.assert(
      fc.property(unusualCase({ ranges: false }), (kase) => {
        expect(disagreements(kase)).toEqual([]);
      }),
      { ...settings, numRuns: 60 },
    );
  });

  it('agrees with trying every completion of the fact, others ranged and absent', () => {
    fc.assert(
      fc.property(unusualCase({ ranges: true }), (kase) => {
        expect(disagreements(kase)).toEqual([]);
      }),
      { ...settings, numRuns: 40 },
    );
  });

  it('is false of a fact that is exact', () => {
    fc.assert(
      fc.property(likelyCase({ ranges: false }), (kase) => {
        expect(stillMatters(kase, 'children.c1.weightKg')).toBe(false);
        expect(stillMatters(kase, 'children.c1.ageMonths')).toBe(false);
      }),
      { ...settings, numRuns: 50 },
    );
  });
});

/** The facts whose completions advice is about; all others count as they are while absent. */
const SETTLING = /\.(ageMonths|weightKg|heightCm|sex|kind)$|\.modes\.(rear|forward)-facing\./;

describe('what a provisional advice needs', () => {
  const candidates = (kase: Case) => assess(kase).children[0]?.advice.candidates.length ?? 0;

  it('is each fact of which some completion leaves fewer candidates, and no other', () => {
    fc.assert(
      fc.property(unusualCase({ ranges: true }), (kase) => {
        const before = candidates(kase);
        const needs = assess(kase).children[0]?.advice.needs ?? [];
        const open = openFacts(kase).filter(({ path }) => SETTLING.test(path));
        const narrowing = open.filter(({ path, values }) =>
          values.some((value) => candidates(withFact(kase, path, value)) < before),
        );
        const settles = new Set(narrowing.map(({ path }) => path));
        expect(needs.filter((path) => SETTLING.test(path)).toSorted()).toEqual([...settles].toSorted());
      }),
      { ...settings, numRuns: 80 },
    );
  });
});
