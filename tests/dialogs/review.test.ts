import { describe, expect, it } from 'vitest';
import { factOf } from '#dialogs/facts.ts';
import { lbToKg } from '#shared/units.ts';
import { type Caregiver, caregiverOfOne } from './caregiver.ts';

const ANSWERS: Readonly<Record<string, string>> = {
  age: '26 months',
  weight: '28 lb',
  height: '35 in',
  'care-needs': 'none',
  'riding-mode': 'rear-facing',
  'seat-kind': 'convertible',
  'label-limits': '5-40 lb, up to 43 in',
  'seat-dates': 'made May 2021, expires Dec 2029',
  'seat-history': 'recall-unchecked',
  position: 'p2L',
  'vehicle-hardware': 'none',
  attachment: 'seat-belt',
  'install-check': 'none',
  'harness-check': 'none',
  vehicle: '2014 hatchback',
  place: 'Texas',
};

/** A caregiver who has answered everything and reads the review. */
function atReview(): Caregiver {
  const family = caregiverOfOne();
  for (let turns = 0; family.now.reply.asking !== 'review' && turns < 40; turns++)
    family.says(ANSWERS[family.now.reply.asking ?? ''] ?? 'unsure');
  expect(family.now.reply.asking).toBe('review');
  return family;
}

const weightOf = (family: Caregiver) => factOf(family.now.case, 'children.c1.weightKg');

describe('the review', () => {
  it('corrects one line and comes back with everything else kept', () => {
    const family = atReview();
    const before = family.now.case;
    expect(family.taps('weight:c1').reply.asking).toBe('weight');
    expect(family.says('30 lb').reply.asking).toBe('review');
    expect(weightOf(family)).toBeCloseTo(lbToKg(30));
    expect(family.now.case.seats).toEqual(before.seats);
    expect(family.now.case.uses).toEqual(before.uses);
  });

  it('corrects every line it offers', () => {
    const lines = atReview()
      .now.reply.choices.map(({ id }) => id)
      .filter((id) => id !== 'yes');
    expect(lines.length).toBeGreaterThan(12);
    for (const line of lines) {
      const family = atReview();
      expect(family.taps(line).reply.asking, line).toBe(line.split(':')[0]);
    }
  });

  it('takes a correction in words, and keeps other words as a note', () => {
    const family = atReview();
    expect(family.says('she weighs 31 lb').reply.asking).toBe('review');
    expect(weightOf(family)).toBeCloseTo(lbToKg(31));
    family.says('grandma will bring her');
    expect(family.now.snapshot.context.notes).toEqual(['grandma will bring her']);
    expect(family.now.reply.asking).toBe('review');
  });

  it('sent, can be changed and sent again under the same reference', () => {
    const family = atReview();
    expect(family.says('yes').reply).toMatchObject({ asking: null, done: true });
    expect(family.heard()).toContain('TEST-CODE');
    expect(family.says('change').reply.asking).toBe('review');
    family.taps('weight:c1');
    family.says('32 lb');
    expect(family.says('yes').reply.done).toBe(true);
    expect(weightOf(family)).toBeCloseTo(lbToKg(32));
    expect(family.heard()).toContain('TEST-CODE');
  });

  it('asked for half-way shows what is there and goes on', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    expect(family.says('change').reply.asking).toBe('review');
    expect(family.says('yes').reply).toMatchObject({ asking: 'weight', done: false });
  });
});
