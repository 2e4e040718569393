import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { Case } from '#shared/case.ts';
import { stillMatters } from '#shared/still-matters.ts';
import { family } from './rules/family.ts';

const bare: Case = { asOf: '2026-05-16', children: [{ id: 'c1' }], seats: [{ id: 's1' }], uses: [] };

describe('stillMatters', () => {
  it.each([
    'jurisdiction',
    'needsInterpreter',
    'children.c1.ageMonths',
    'children.c1.birthDate',
    'children.c1.weightKg',
    'children.c1.medicalNeeds',
    'uses.c1.mode',
    'seats.s1.recall',
    'seats.s1.crash.happened',
    'seats.s1.expiryDate',
  ])('is true of %s while nothing is known', (fact) => {
    expect(stillMatters(bare, fact)).toBe(true);
  });

  it.each([
    ['a condition of a crash nobody told of', 'seats.s1.crash.drivable'],
    ['a harness while the mode is unknown', 'uses.c1.harness.pinchable'],
    ['a seat that no child uses', 'seats.s1.modes.rear-facing.maxWeightKg'],
    ['a seat the case does not list', 'seats.s9.recall'],
    ['a child the case does not list', 'children.c9.weightKg'],
    ['a position the case does not list', 'vehicle.positions.p9.row'],
    ['what no rule reads', 'vehicle.modelYear'],
    ['an exception of no law', 'children.c1.lawFacts.medical'],
  ])('is false of %s', (_, fact) => {
    expect(stillMatters(bare, fact)).toBe(false);
  });

  it('is true of a place in the vehicle once it can be wrong', () => {
    const anywhere = family('rear-facing', { 'uses.c1.positionId': undefined });
    expect(stillMatters(anywhere, 'uses.c1.positionId')).toBe(true);
    expect(stillMatters(family('rear-facing'), 'uses.c1.positionId')).toBe(false);
  });

  it('asks again for a size that cannot be right, until it is confirmed', () => {
    const odd = { 'children.c1.weightKg': 30, 'children.c1.sizeConfirmed': undefined };
    expect(stillMatters(family('rear-facing', odd), 'children.c1.weightKg')).toBe(true);
    expect(stillMatters(family('rear-facing', odd), 'children.c1.sizeConfirmed')).toBe(true);
    const confirmed = family('rear-facing', { ...odd, 'children.c1.sizeConfirmed': true });
    expect(stillMatters(confirmed, 'children.c1.weightKg')).toBe(false);
  });

  it('ignores the limits of a mode the seat does not have', () => {
    const absent = family('booster', { 'seats.s1.modes.rear-facing': undefined });
    expect(stillMatters(absent, 'seats.s1.modes.rear-facing.maxWeightKg')).toBe(false);
  });

  it('sees an exception that would lift a duty', () => {
    const front = family('rear-facing', { 'vehicle.positions.p1.row': 1 });
    expect(stillMatters(front, 'children.c1.lawFacts.medical')).toBe(true);
    expect(stillMatters(front, 'children.c1.lawFacts.no-rear-seat')).toBe(false);
    expect(stillMatters(front, 'children.c1.lawFacts.nonsense')).toBe(false);
  });

  it.each(['rear-facing', 'forward-facing', 'booster', 'seat-belt'] as const)(
    'is true of what a %s case lists as unknown, and of nothing else open',
    (stage) => {
      const open = family(stage, {
        'children.c1.sex': undefined,
        'children.c1.heightCm': undefined,
        'seats.s1.massKg': undefined,
        'seats.s1.kind': undefined,
        'uses.c1.attachment': undefined,
        'vehicle.positions.p1.belt': undefined,
      });
      const listed = new Set(assess(open).unknowns.map(({ fact }) => fact));
      for (const fact of [
        'children.c1.sex',
        'children.c1.heightCm',
        'seats.s1.massKg',
        'seats.s1.kind',
        'uses.c1.attachment',
        'vehicle.positions.p1.belt',
        'seats.s1.modes.booster.maxWeightKg',
      ])
        expect([fact, stillMatters(open, fact)]).toEqual([fact, listed.has(fact)]);
    },
  );
});
