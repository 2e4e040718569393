import { describe, expect, it } from 'vitest';
import type { Case } from '#shared/case.ts';
import { lbToKg } from '#shared/units.ts';
import { foldVisit } from '#shared/visit-record/fold.ts';
import { remindersOf } from '#shared/visit-record/reminders.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { takeHomeOf } from '#shared/visit-record/take-home.ts';
import { DAY, entries, FAMILY, fact, type Given } from './entries.ts';

const sheet = (family: Case, ...given: readonly Given[]) => {
  const review = reviewVisit(family, foldVisit(entries(...given)).current, DAY);
  const child = family.children[0];
  if (!child) throw new Error('there is a child');
  return { review, sheet: takeHomeOf(review, child) };
};

const TURNED_BACK = [
  fact('uses.c1.mode', 'rear-facing', 'left'),
  fact('uses.c1.attachment', 'lower-anchors', 'left'),
  fact('uses.c1.harness.pinchable', false, 'left'),
  fact('children.c1.weightKg', 12.3),
  fact('seats.s1.expiryDate', '2031-06'),
] as const;

describe('the sheet that goes home', () => {
  it('says how the child rides now, up to which limits and by when, and what was corrected', () => {
    const { sheet: made } = sheet(FAMILY, ...TURNED_BACK);
    expect(made).toMatchObject({
      mode: 'rear-facing',
      attachment: 'lower-anchors',
      tether: false,
      place: { row: 2, side: 'right' },
      expires: '2031-06-30',
      monthly: ['size', 'tight', 'straps', 'pinch', 'clip', 'recline'],
    });
    expect(made.until).toMatchObject({ maxWeightKg: lbToKg(40), maxHeightCm: 109.22 });
    expect(made.corrected).toEqual(expect.arrayContaining(['harness-loose', 'tether-not-used']));
    expect(made.remaining).toContain('seat-recall-unchecked');
  });

  it('gives the months of the first limit as the assessment forecasts them', () => {
    const { review, sheet: made } = sheet(FAMILY, ...TURNED_BACK);
    const forecast = review.left.assessment.children[0]?.forecast.filter(({ mode }) => mode === 'rear-facing') ?? [];
    expect(forecast.length).toBe(2);
    expect(made.until?.earliest).toBe(forecast.map(({ earliest }) => earliest).sort()[0]);
  });

  // Under three years a bigger rear-facing seat comes before turning round (S-139, S-160); from then on the next mode.
  it('never sends a small child on to the next way of riding', () => {
    const small = {
      ...FAMILY,
      children: [{ id: 'c1', ageMonths: 9, sex: 'female' as const, weightKg: 9, heightCm: 71 }],
    };
    const seats = [
      {
        id: 's1',
        kind: 'rear-facing-only' as const,
        modes: { 'rear-facing': { minWeightKg: 2, maxWeightKg: lbToKg(30), maxHeightCm: 81 } },
      },
    ];
    const { sheet: made } = sheet({ ...small, seats }, fact('uses.c1.mode', 'rear-facing'));
    expect(made.until?.earliest).not.toBeNull();
    expect(made.until?.next).toBe('bigger');
  });

  it('names no limits of a way of riding that the child has outgrown', () => {
    expect(
      sheet(FAMILY, ...TURNED_BACK, fact('children.c1.weightKg', 20), fact('children.c1.sizeConfirmed', true)).sheet
        .until,
    ).toBeNull();
  });

  it('has nothing to check of a seat where there is none', () => {
    const bare = sheet({ ...FAMILY, uses: [{ childId: 'c1', mode: 'lap-held' }] }).sheet;
    expect(bare).toMatchObject({ until: null, expires: undefined, monthly: [], attachment: null });
    expect(bare.remaining).toContain('unrestrained');
  });
});

describe('reminders', () => {
  it('come a month before the early date of the forecast and three months before the seat expires', () => {
    const { review, sheet: made } = sheet(FAMILY, ...TURNED_BACK);
    const [first] = remindersOf(review.left).filter(({ about }) => about === 'outgrow');
    const [second] = remindersOf(review.left).filter(({ about }) => about === 'expiry');
    expect(first?.date).toBe(`${made.until?.earliest}-01`);
    expect(first && first.on < first.date).toBe(true);
    expect(second).toMatchObject({ on: '2031-03-30', date: '2031-06-30', name: 'Wren', childId: 'c1' });
  });

  it('are not made for what is due already', () => {
    const { review } = sheet(FAMILY, ...TURNED_BACK, fact('seats.s1.expiryDate', '2026-07'));
    expect(remindersOf(review.left).filter(({ about }) => about === 'expiry')).toEqual([]);
  });
});
