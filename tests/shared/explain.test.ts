import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { explain } from '#shared/explain.ts';
import { family } from './rules/family.ts';

describe('explain', () => {
  it('gives the parameter, the facts and the source entries behind a finding', () => {
    const { findings } = explain(assess(family('rear-facing', { 'uses.c1.movementCm': 3 })));
    expect(findings).toMatchObject([
      {
        code: 'loose-at-belt-path',
        facts: ['uses.c1.mode', 'uses.c1.movementCm'],
        parameters: { 'max-movement': { value: 1, unit: 'in', basis: 'common practice' } },
        sources: { 'S-175': { kind: 'common practice' }, 'S-176': {} },
        weak: true,
      },
    ]);
  });

  it('does not call a finding weak whose text was seen', () => {
    const { findings } = explain(assess(family('rear-facing', { 'vehicle.positions.p1.frontAirBag': 'active' })));
    expect(findings.find(({ code }) => code === 'rear-facing-at-air-bag')).toMatchObject({ weak: false });
  });

  it('gives the clauses that are not met, with their statutes', () => {
    const { findings } = explain(assess(family('rear-facing', { 'uses.c1.mode': 'seat-belt' })));
    const law = findings.find(({ code }) => code === 'law-not-met');
    expect(law?.clauses.map(({ id }) => id)).toEqual(['US-CA-1', 'US-CA-2']);
    expect(law?.clauses.every(({ statute }) => statute.startsWith('Cal. Veh. Code'))).toBe(true);
  });

  it('gives the ground of every advice', () => {
    const { advice } = explain(assess(family('booster')));
    expect(advice).toMatchObject([
      { childId: 'c1', mode: 'booster', parameters: { 'booster-min-weight': { value: 40, unit: 'lb' } } },
    ]);
    expect(Object.keys(advice[0]?.sources ?? {})).toContain('S-154');
  });
});
