import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseCase } from '#shared/case.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { familyCase } from '../properties/family-case.ts';
import { unusualCase } from '../properties/unusual-case.ts';
import { differences } from './differences.ts';
import { judge } from './whole.ts';

/** The oracle is written from the rules' text alone; a disagreement is a fault in one of the two. */
/** A failing case is told as it was made: shrinking whole families takes longer than reading one. */
const settings = { seed: 20260516, endOnFailure: true };

describe('the rules core against a plain second reading of the rules', () => {
  it('agrees on every case whose facts are exact', () => {
    fc.assert(
      fc.property(unusualCase({ ranges: false }), (kase) => {
        expect(differences(kase)).toEqual([]);
      }),
      { ...settings, numRuns: 3000 },
    );
  });

  it('agrees on cases with ranges and absent numbers, over all their completions', () => {
    fc.assert(
      fc.property(unusualCase({ ranges: true }), (kase) => {
        const found = differences(kase);
        fc.pre(found !== null);
        expect(found).toEqual([]);
      }),
      { ...settings, numRuns: 600 },
    );
  });

  it('agrees on families of several children in one vehicle', () => {
    fc.assert(
      fc.property(familyCase({ ranges: false }), (kase) => {
        const found = differences(kase);
        fc.pre(found !== null);
        expect(found).toEqual([]);
      }),
      { ...settings, numRuns: 400 },
    );
  });

  it('is asked about valid cases that raise every finding between them', () => {
    const cases = fc.sample(unusualCase({ ranges: false }), { seed: settings.seed, numRuns: 2000 });
    expect(cases.every((kase) => parseCase(kase).ok)).toBe(true);
    const raised = new Set(cases.flatMap((kase) => judge(kase)?.findings.map(({ code }) => code)));
    expect(FINDING_CODES.filter((code) => !raised.has(code))).toEqual([]);
  });
});
