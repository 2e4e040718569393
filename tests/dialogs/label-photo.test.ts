import { describe, expect, it } from 'vitest';
import { step } from '#dialogs/conversation.ts';
import type { Message } from '#dialogs/interpretation.ts';
import { labelledChild, type PhotoReading } from '#dialogs/label-photo.ts';
import { LANGUAGES } from '#dialogs/understanding/types.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import { caregiver, caregiverOfOne, ears, TODAY, until } from './caregiver.ts';

const field = (value: string | number) => ({ value, confidence: 0.93 });

const READ: PhotoReading = {
  kind: 'read',
  fields: {
    manufactureDate: field('2021-05'),
    usefulLifeYears: field(8),
    'modes.rear-facing.minWeightKg': field(lbToKg(5)),
    'modes.rear-facing.maxWeightKg': field(lbToKg(40)),
    'modes.rear-facing.maxHeightCm': field(inToCm(43)),
    'modes.forward-facing.maxWeightKg': field(lbToKg(65)),
  },
};

const KNOWN = { 'riding-mode': 'rear-facing', 'seat-kind': 'convertible' };

function atTheLabel(language: Parameters<typeof caregiverOfOne>[0] = 'en') {
  const self = caregiverOfOne(language);
  until(self, 'label-limits', KNOWN);
  const sends = (photo: PhotoReading) => {
    self.now = step(self.now.snapshot, { text: 'label.jpg', choiceIds: [], photo }, TODAY, ears);
    return self.now;
  };
  return { self, sends };
}

describe('a photo of the label while its question stands', () => {
  it('is read back, each limit with its way of riding, before anything of it is used', () => {
    const { self, sends } = atTheLabel();
    const asked = sends(READ);
    expect(asked.reply.asking).toBe('confirm');
    expect(asked.case.seats[0]?.manufactureDate).toBeUndefined();
    expect(self.heard()).toMatch(/40 lb.*43 in.*65 lb.*2021.*8/s);
    expect(self.heard()).toMatch(/rear-facing.*forward-facing/is);
  });

  it('fills the questions of the seat by a yes', () => {
    const { self, sends } = atTheLabel();
    sends(READ);
    const { case: known, reply } = self.says('yes');
    expect(known.seats[0]).toMatchObject({
      manufactureDate: '2021-05',
      usefulLifeYears: 8,
      modes: {
        'rear-facing': { maxWeightKg: lbToKg(40), maxHeightCm: inToCm(43) },
        'forward-facing': { maxWeightKg: lbToKg(65) },
      },
    });
    expect(reply.asking).not.toBe('seat-dates');
  });

  it('leaves nothing behind by a no, and the question is asked again', () => {
    const { self, sends } = atTheLabel();
    sends(READ);
    const { case: known, reply } = self.says('no');
    expect(known.seats[0]?.modes ?? null).toBeNull();
    expect(reply.asking).toBe('label-limits');
  });

  it('that cannot be used is answered calmly in every language, and the question stands', () => {
    for (const language of LANGUAGES) {
      const { self, sends } = atTheLabel(language);
      for (const problem of ['no-image', 'too-large', 'unreadable', 'busy'] as const) {
        expect(sends({ kind: 'problem', problem }).reply.asking).toBe('label-limits');
        expect(self.now.reply.say[0]).toEqual({ key: `say.photo-${problem}` });
        expect(self.heard()).not.toContain('photo-');
      }
    }
  });
});

describe('a photo that no question of the label waits for', () => {
  const sentTo = (self: ReturnType<typeof caregiverOfOne>, more: Partial<Message> = {}) => {
    const { asking } = self.now.reply;
    self.now = step(self.now.snapshot, { text: 'x.jpg', choiceIds: [], photo: READ, ...more }, TODAY, ears);
    expect(self.now.reply.asking).toBe(asking);
    return self.now.reply.say[0];
  };

  it('changes nothing before consent, and is said not to be kept', () => {
    expect(sentTo(caregiver())).toEqual({ key: 'say.photo-before-consent' });
  });

  it('is kept for the technician after it, or said not to be where there is no room', () => {
    const self = caregiverOfOne();
    until(self, 'weight');
    expect(sentTo(self)).toEqual({ key: 'say.photo-kept' });
    expect(sentTo(self, { photosFull: true })).toEqual({ key: 'say.photo-full' });
    expect(labelledChild(self.now.snapshot, READ)).toBeNull();
  });
});

it('a photo that comes before the label is asked about is read back, and spares the question', () => {
  const self = caregiverOfOne();
  until(self, 'seat-kind', KNOWN);
  const unreadable = { kind: 'problem', problem: 'unreadable' } as const;
  expect(labelledChild(self.now.snapshot, unreadable)).toBeNull();
  expect(labelledChild(self.now.snapshot, READ)).toBe('c1');
  self.now = step(self.now.snapshot, { text: 'x.jpg', choiceIds: [], photo: READ }, TODAY, ears);
  expect(self.now.reply.asking).toBe('confirm');
  expect(self.says('yes').reply.asking).toBe('seat-kind');
  const { reply, case: known } = self.taps('convertible');
  expect(known.seats[0]?.modes?.['rear-facing']).toMatchObject({ maxWeightKg: lbToKg(40) });
  expect([reply.asking, reply.mode]).not.toEqual(['label-limits', 'rear-facing']);
});

it('a photo is for no child where several ride, and the question is about none of them', () => {
  const self = caregiver();
  self.says('yes');
  self.taps('2');
  self.now = step(self.now.snapshot, { text: 'x.jpg', choiceIds: [], photo: READ }, TODAY, ears);
  expect(self.now.reply.say[0]).toEqual({ key: 'say.photo-kept' });
});

it('a photo that is read but not kept any more is said to be so, and read back all the same', () => {
  const { self } = atTheLabel();
  expect(labelledChild(self.now.snapshot, READ)).toBe('c1');
  const message = { text: 'x.jpg', choiceIds: [], photo: READ, photosFull: true };
  const { reply } = step(self.now.snapshot, message, TODAY, ears);
  expect([reply.say[0], reply.asking]).toEqual([{ key: 'say.photo-full' }, 'confirm']);
});
