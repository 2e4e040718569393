import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { decide } from '#shared/decide.ts';
import { familyCase } from './properties/family-case.ts';

describe('a decision', () => {
  it('has the findings and candidates of the whole assessment', () => {
    fc.assert(
      fc.property(familyCase({ ranges: true }), (family) => {
        const { findings, children } = assess(family);
        const decision = decide(family);
        expect(decision.findings).toEqual(findings);
        expect(
          decision.advice.map(({ childId, candidates, kept }) => [
            childId,
            candidates,
            !kept.includes(candidates[0] ?? 'rear-facing'),
          ]),
        ).toEqual(children.map(({ childId, advice }) => [childId, advice.candidates, advice.seatChange]));
      }),
      { numRuns: 200 },
    );
  });
});
