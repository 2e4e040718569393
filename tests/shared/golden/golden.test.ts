import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { type Assessment, assessmentSchema } from '#shared/assessment.ts';
import { parseCase } from '#shared/case.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { type Expectation, families } from './golden-cases.ts';

const codes = (assessment: Assessment) => assessment.findings.map((finding) => finding.code);

/** Limits are sums and differences of converted figures: compared within the tolerance of the rules. */
function sameLimit(got: unknown, want: unknown): void {
  if (typeof want === 'number') expect(got).toBeCloseTo(want, 6);
  else if (want && typeof want === 'object')
    for (const [key, value] of Object.entries(want)) expect((got as Record<string, number>)[key]).toBeCloseTo(value, 6);
  else expect(got).toBe(want);
}

function sameModes(got: Assessment['children'][number]['modes'], want: Record<string, string | object>): void {
  for (const [mode, fit] of Object.entries(want)) {
    const found = got[mode as keyof typeof got];
    if (typeof fit === 'string') {
      expect(`${mode} ${found.status}`).toBe(`${mode} ${fit}`);
      continue;
    }
    const { headroom, ...rest } = fit as { headroom?: Record<string, number> };
    expect(found).toMatchObject(rest);
    if (headroom) for (const [key, value] of Object.entries(headroom)) sameLimit(found.headroom?.[key as never], value);
  }
}

function check(got: Assessment, want: Expectation): void {
  const childOf = (id: string) => got.children.find((child) => child.childId === id);
  for (const finding of want.findings ?? []) expect(got.findings).toContainEqual(expect.objectContaining(finding));
  for (const code of want.not ?? []) expect(codes(got)).not.toContain(code);
  if (want.only) expect(codes(got).toSorted()).toEqual([...want.only].sort());
  for (const [id, advice] of Object.entries(want.advice ?? {})) expect(childOf(id)?.advice).toMatchObject(advice);
  for (const [id, modes] of Object.entries(want.modes ?? {})) sameModes(childOf(id)?.modes as never, modes);
  for (const [id, { lowerAnchorLimitKg, ...use }] of Object.entries(want.uses ?? {})) {
    const found = got.uses.find((entry) => entry.childId === id);
    expect(found).toMatchObject(use);
    if (lowerAnchorLimitKg !== undefined) sameLimit(found?.lowerAnchorLimitKg, lowerAnchorLimitKg);
  }
  for (const [id, status] of Object.entries(want.law ?? {})) expect(childOf(id)?.law.status).toBe(status);
  for (const [id, clauses] of Object.entries(want.clauses ?? {}))
    for (const [clause, state] of Object.entries(clauses))
      expect(childOf(id)?.law.clauses).toContainEqual(expect.objectContaining({ id: clause, ...state }));
  if (want.visit) expect(got.visit).toMatchObject(want.visit);
  for (const [fact, could] of Object.entries(want.unknowns ?? {}))
    expect(got.unknowns.find((entry) => entry.fact === fact)?.couldRaise).toEqual(expect.arrayContaining([...could]));
  for (const [id, list] of Object.entries(want.forecast ?? {})) {
    if (list.length === 0) expect(childOf(id)?.forecast).toEqual([]);
    for (const entry of list) expect(childOf(id)?.forecast).toContainEqual(expect.objectContaining(entry));
  }
  for (const [id, { reference, weightZ, heightZ }] of Object.entries(want.growth ?? {})) {
    const growth = childOf(id)?.growth;
    expect(growth?.reference).toBe(reference);
    if (weightZ !== undefined) expect(growth?.weightZ).toBeCloseTo(weightZ, 3);
    if (heightZ !== undefined) expect(growth?.heightZ).toBeCloseTo(heightZ, 3);
  }
}

for (const { family, cases } of families)
  describe(`golden cases: ${family}`, () => {
    for (const golden of cases)
      it(golden.name, () => {
        const parsed = parseCase(golden.case);
        if (golden.expect.error !== undefined) {
          expect(parsed).toMatchObject({ ok: false, error: { path: golden.expect.error } });
          return;
        }
        if (!parsed.ok) throw new Error(`${parsed.error.path}: ${parsed.error.message}`);
        const got = assess(parsed.case);
        expect(assessmentSchema.safeParse(got).success).toBe(true);
        check(got, golden.expect);
      });
  });

describe('golden cases as a whole', () => {
  const expectations = families.flatMap(({ cases }) => cases.map((golden) => golden.expect));

  it('are at least 120, each with a source', () => {
    expect(expectations.length).toBeGreaterThanOrEqual(120);
    expect(families.flatMap(({ cases }) => cases).every(({ source }) => source.length > 3)).toBe(true);
  });

  for (const code of FINDING_CODES)
    it(`raise ${code} and leave it out at a boundary`, () => {
      const raised = expectations.some(
        (want) => want.findings?.some((finding) => finding.code === code) || want.only?.includes(code),
      );
      expect({ raised, left: expectations.some((want) => want.not?.includes(code)) }).toEqual({
        raised: true,
        left: true,
      });
    });
});
