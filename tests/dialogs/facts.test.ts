import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assembleCase, factOf } from '#dialogs/facts.ts';
import { parseCase } from '#shared/case.ts';

describe('facts by path', () => {
  it('become the lists and objects of a case', () => {
    const theCase = assembleCase(
      {
        'children.c1.weightKg': 12.3,
        'seats.s1.modes.rear-facing.maxWeightKg': null,
        'vehicle.positions.p2L.row': 2,
        'uses.c1.harness.straps': 'at',
        'uses.c1.seatId': 's1',
        'uses.c1.positionId': 'p2L',
        jurisdiction: 'US-CA',
      },
      '2026-05-16',
    );
    expect(theCase).toEqual({
      asOf: '2026-05-16',
      jurisdiction: 'US-CA',
      children: [{ id: 'c1', weightKg: 12.3 }],
      seats: [{ id: 's1', modes: { 'rear-facing': { maxWeightKg: null } } }],
      vehicle: { positions: [{ id: 'p2L', row: 2 }] },
      uses: [{ childId: 'c1', harness: { straps: 'at' }, seatId: 's1', positionId: 'p2L' }],
    });
    expect(parseCase(theCase).ok).toBe(true);
  });

  it('make a person exist by a path that ends at it', () => {
    expect(assembleCase({ 'children.c2': true }, '2026-05-16').children).toEqual([{ id: 'c2' }]);
  });

  it('tell a limit that the label does not state from one nobody has read', () => {
    const theCase = assembleCase({ 'seats.s1.modes.booster.maxWeightKg': null }, '2026-05-16');
    expect(factOf(theCase, 'seats.s1.modes.booster.maxWeightKg')).toBeNull();
    expect(factOf(theCase, 'seats.s1.modes.booster.maxHeightCm')).toBeUndefined();
  });

  it('are found again where they were put', () => {
    const path = fc.constantFrom('children.c1.weightKg', 'uses.c3.movementCm', 'seats.s2.massKg', 'vehicle.modelYear');
    fc.assert(
      fc.property(fc.dictionary(path, fc.integer({ min: 1, max: 400 })), (facts) => {
        const theCase = assembleCase(facts, '2026-05-16');
        for (const [at, value] of Object.entries(facts)) expect(factOf(theCase, at)).toBe(value);
      }),
    );
  });
});
