import { describe, expect, it } from 'vitest';
import { groupFacts } from '#src/desk/fact-groups.ts';
import { verifyOrder } from '#src/desk/verify-order.ts';
import { aSummary } from '../../factories/summary.ts';

describe('what to verify first', () => {
  it('is what could turn out dangerous, then what would settle the advice, then the rest as given', () => {
    const { assessment } = aSummary();
    const needs = ['children.c1.heightCm'];
    const summary = aSummary({
      verifyFirst: ['uses.c1.twisted', 'children.c1.heightCm', 'seats.s1.expiryDate', 'uses.c1.recline'],
      assessment: {
        ...assessment,
        children: assessment.children.map((child) => ({ ...child, advice: { ...child.advice, needs } })),
      },
    });
    expect(verifyOrder(summary)).toEqual([
      'seats.s1.expiryDate',
      'children.c1.heightCm',
      'uses.c1.twisted',
      'uses.c1.recline',
    ]);
  });

  it('takes together what stands on one label, and the details of one crash', () => {
    expect(
      groupFacts([
        'seats.s.1.modes.booster.maxWeightKg',
        'children.c1.weightKg',
        'seats.s.1.crash.happened',
        'seats.s.1.modes.booster.minWeightKg',
        'seats.s.1.modes.rear-facing.maxWeightKg',
        'seats.s.1.crash.drivable',
      ]),
    ).toEqual([
      {
        path: 'seats.s.1.modes.booster',
        members: ['seats.s.1.modes.booster.maxWeightKg', 'seats.s.1.modes.booster.minWeightKg'],
      },
      { path: 'children.c1.weightKg', members: ['children.c1.weightKg'] },
      { path: 'seats.s.1.crash', members: ['seats.s.1.crash.happened', 'seats.s.1.crash.drivable'] },
      { path: 'seats.s.1.modes.rear-facing.maxWeightKg', members: ['seats.s.1.modes.rear-facing.maxWeightKg'] },
    ]);
  });
});
