import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { VisitBody, VisitEntry } from '#shared/visit-record/entries.ts';
import { foldVisit, history, latestOf } from '#shared/visit-record/fold.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { DAY, entries, FAMILY, fact, signOff } from './entries.ts';

const change = fc.oneof(
  fc.record({
    kind: fc.constant('fact' as const),
    stage: fc.constantFrom('found' as const, 'left' as const),
    path: fc.constantFrom('children.c1.weightKg', 'uses.c1.tether', 'uses.c1.mode', 'seats.s1.expiryDate'),
    value: fc.constantFrom(12, 'attached', 'rear-facing', '2030-01', null),
    how: fc.constantFrom('scale' as const, 'seen' as const),
  }),
  fc.record({
    kind: fc.constant('education' as const),
    topic: fc.constantFrom('harness' as const, 'tether' as const),
    given: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('note' as const), text: fc.constantFrom('a', 'b') }),
  fc.record({
    kind: fc.constant('place' as const),
    stage: fc.constantFrom('found' as const, 'left' as const),
    childId: fc.constant('c1'),
    row: fc.constantFrom(1, 2),
    side: fc.constantFrom('left' as const, 'center' as const),
  }),
);
const correction = fc.record({
  kind: fc.constant('correction' as const),
  why: fc.constantFrom('mistake' as const, 'late' as const),
  change,
});
const stamp = fc.record({ minute: fc.integer({ min: 0, max: 5 }), by: fc.constantFrom('Robin', 'Sage') });
const listOf = (bodies: readonly VisitBody[], stamps: readonly { minute: number; by: string }[]): VisitEntry[] =>
  bodies.map((body, i) => ({
    id: `e${i}`,
    seq: i + 1,
    at: `${DAY}T10:0${stamps[i]?.minute ?? 0}:00.000Z`,
    by: stamps[i]?.by ?? 'Robin',
    body,
  }));
const before = fc.array(change, { maxLength: 12 });
const stamps = fc.array(stamp, { minLength: 30, maxLength: 30 });

describe('folding the entries of a visit', () => {
  it('gives the same record in whatever order the entries are read', () => {
    fc.assert(
      fc.property(
        before.chain((bodies) =>
          fc.tuple(
            fc.constant(bodies),
            fc.shuffledSubarray(
              bodies.map((_, i) => i),
              { minLength: bodies.length },
            ),
          ),
        ),
        stamps,
        fc.boolean(),
        ([bodies, order], times, signed) => {
          const all = listOf(signed ? [...bodies, signOff] : bodies, times);
          const shuffled = order.map((i) => all[i] as VisitEntry);
          expect(foldVisit(signed ? [all.at(-1) as VisitEntry, ...shuffled] : shuffled)).toEqual(foldVisit(all));
        },
      ),
    );
  });

  it('never changes what was signed, whatever arrives afterwards', () => {
    fc.assert(
      fc.property(
        before,
        fc.array(fc.oneof(change, correction, fc.constant(signOff)), { maxLength: 8 }),
        stamps,
        (first, later, times) => {
          const signed = foldVisit(listOf([...first, signOff], times)).signed;
          const after = foldVisit(listOf([...first, signOff, ...later], times));
          expect(after.signed).toEqual(signed);
          expect(after.corrections).toHaveLength(later.filter(({ kind }) => kind === 'correction').length);
        },
      ),
    );
  });

  it('loses nothing: everything that was said of a matter stands in its history, the latest last', () => {
    fc.assert(
      fc.property(before, stamps, (bodies, times) => {
        const { current } = foldVisit(listOf(bodies, times));
        const all = [...current.values()].flat();
        expect(all).toHaveLength(bodies.length);
        for (const said of current.values())
          for (const [i, { at }] of said.entries()) expect(at >= (said[i - 1]?.at ?? '')).toBe(true);
      }),
    );
  });

  it('counts an entry once that arrived twice', () => {
    const [one] = entries({ kind: 'note', text: 'once' });
    if (!one) throw new Error('there is one');
    expect(latestOf(foldVisit([one, { ...one }]).current, 'note')).toHaveLength(1);
  });

  it('lets the one hold that was written later, though it arrived first, and keeps both with who and when', () => {
    const record = foldVisit(
      entries(
        { body: fact('children.c1.weightKg', 12.4), at: `${DAY}T10:05:00.000Z`, by: 'Sage' },
        { body: fact('children.c1.weightKg', 12.1), at: `${DAY}T10:01:00.000Z`, by: 'Robin' },
      ),
    );
    const said = history(record.current, 'fact found children.c1.weightKg');
    expect(said.map(({ by, change: { kind }, at }) => [kind, by, at.slice(11, 16)])).toEqual([
      ['fact', 'Robin', '10:01'],
      ['fact', 'Sage', '10:05'],
    ]);
    expect(reviewVisit(FAMILY, record.current, DAY).found.case.children[0]?.weightKg).toBe(12.4);
  });
});
