import { describe, expect, it } from 'vitest';
import { type Caregiver, caregiverOfOne } from './caregiver.ts';

const atPosition = (): Caregiver => {
  const family = caregiverOfOne();
  for (const words of ['2 years', '28 lb', '35 in']) family.says(words);
  for (let turns = 0; turns < 30 && family.now.reply.asking !== 'position'; turns++) {
    const { asking, choices } = family.now.reply;
    const ids = choices.map(({ id }) => id);
    const taps: Record<string, string> = { 'riding-mode': 'rear-facing', 'seat-kind': 'convertible' };
    family.taps(taps[asking ?? ''] ?? (ids.includes('unsure') ? 'unsure' : (ids[0] as string)));
  }
  expect(family.now.reply.asking).toBe('position');
  return family;
};

describe('a button of an earlier turn', () => {
  it('corrects the question it belongs to, and the open question stays', () => {
    const family = atPosition();
    family.taps('all-in-one');
    expect(family.now.case.seats[0]?.kind).toBe('all-in-one');
    expect(family.heard()).toMatch(/^Got it: All in one/);
    expect(['position', 'label-limits']).toContain(family.now.reply.asking);
  });

  it('that many questions share changes nothing', () => {
    const family = atPosition();
    const before = family.now.case;
    family.taps('skip');
    expect(family.now.case).toEqual(before);
    expect(family.now.reply.asking).toBe('position');
  });

  it('of no question at all changes nothing and is said to be not understood', () => {
    const family = atPosition();
    const before = family.now.case;
    family.taps('no-such-choice');
    expect(family.now.case).toEqual(before);
    expect(family.now.reply.say[0]?.key).toBe('say.not-understood');
  });
});
