import { describe, expect, it } from 'vitest';
import { standing } from '#dialogs/conversation.ts';
import { parseCase } from '#shared/case.ts';
import { summaryOf } from '#src/turns/summary.ts';
import { type Caregiver, caregiver, caregiverOfOne, until } from './caregiver.ts';

const summary = (self: Caregiver) =>
  summaryOf(standing(self.now.snapshot), { channel: 'direct-line', createdAt: '2026-05-16T10:00:00Z' });

const send = (self: Caregiver): void => {
  until(self, 'review');
  self.taps('yes');
  expect(self.now.reply.done).toBe(true);
};

/** One child in a convertible seat, forward-facing behind the driver, sent. */
function oneChildSent(): Caregiver {
  const self = caregiverOfOne();
  self.says('2 years 4 months, 29 lb, 36 in');
  until(self, 'riding-mode');
  self.says('forward-facing in a convertible seat');
  until(self, 'position', { 'seat-history': 'new' });
  self.taps('p2L');
  until(self, 'vehicle');
  self.says('2014 hatchback');
  send(self);
  return self;
}

/** Two children of whom the second one rides in another car, sent. */
function twoChildrenSent(): Caregiver {
  const self = caregiver();
  self.says('yes');
  self.says('two');
  self.says('Leo, Mia');
  self.says('4 years, 38 lb, 40 in');
  until(self, 'riding-mode');
  self.says('forward-facing');
  until(self, 'age');
  self.says('2 years, 27 lb, 34 in');
  until(self, 'riding-mode');
  self.says('rear-facing');
  until(self, 'position');
  self.taps('p2L');
  until(self, 'position');
  expect(self.now.reply).toMatchObject({ asking: 'position', child: 'c2' });
  return self;
}

describe("a family's other car", () => {
  it('is offered once the first case is sent, and becomes a case of its own under a reference beside the first', () => {
    const self = oneChildSent();
    expect(self.now.reply.choices.map(({ id }) => id)).toEqual(['another-car']);
    const first = summary(self);
    self.taps('another-car');
    expect(self.heard()).toContain('other car');
    expect(self.now.reply).toMatchObject({ asking: 'riding-mode', child: 'c1', done: false });
    const second = summary(self);
    expect(second).toMatchObject({ reference: 'TEST-CODE-2', complete: false });
    expect(second.notes).toContain(first.reference);
    expect(second.case.children).toEqual(first.case.children);
    expect(second.case.seats).toEqual(first.case.seats);
    expect([second.case.uses, second.case.vehicle]).toEqual([[], undefined]);
    expect(self.now.snapshot.context.earlier).toMatchObject([{ reference: 'TEST-CODE' }]);
  });

  it('may have the same seat, of which nothing is asked again', () => {
    const self = oneChildSent();
    self.taps('another-car');
    self.says('rear-facing');
    expect(self.now.reply.asking).toBe('same-seat');
    self.says('yes');
    expect(self.now.reply.asking).toBe('position');
    expect(self.now.case.uses).toMatchObject([{ childId: 'c1', seatId: 's1', mode: 'rear-facing' }]);
    expect(self.now.case.seats).toMatchObject([{ kind: 'convertible', acquired: 'new' }]);
  });

  it.each([['no'], ["I don't know"]])('may have another seat, which is asked about from the start: %s', (words) => {
    const self = oneChildSent();
    self.taps('another-car');
    self.says('forward-facing');
    self.says(words);
    expect(self.now.reply.asking).toBe('seat-kind');
    expect(self.now.case.seats[0]?.acquired).toBeUndefined();
    self.taps('combination');
    until(self, 'position');
    self.taps('p2R');
    until(self, 'vehicle');
    self.says('2019 van');
    send(self);
    const { case: theCase, complete } = summary(self);
    expect(complete).toBe(true);
    expect(theCase).toMatchObject({ vehicle: { modelYear: 2019 }, seats: [{ id: 's1', kind: 'combination' }] });
    expect(parseCase(theCase).ok).toBe(true);
    expect(self.now.reply.choices).toEqual([]);
  });

  it('does not take back what was said of the first one, and does not say twice what holds in both', () => {
    const self = caregiverOfOne();
    self.says('5 months, 15 lb, 25 in');
    until(self, 'riding-mode');
    self.says('rear-facing');
    until(self, 'position', { 'seat-history': 'crash' });
    self.taps('p1R');
    until(self, 'vehicle', { 'front-air-bag': 'active' });
    self.says('2014 hatchback');
    const said = self.now.snapshot.context.told;
    expect(said).toEqual(expect.arrayContaining([expect.stringContaining('rear-facing-at-air-bag')]));
    send(self);
    self.taps('another-car');
    expect(self.heard()).not.toMatch(/air bag/i);
    expect(self.now.reply.told).toEqual([]);
    expect(self.now.snapshot.context.told).not.toContain(said.find((key) => key.includes('air-bag')));
  });

  it('keeps no child that does not ride in it, whose case is that of the first car', () => {
    const self = twoChildrenSent();
    self.says("in grandma's car");
    expect(self.now.case.uses.find(({ childId }) => childId === 'c2')?.positionId ?? null).toBeNull();
    // How it is installed there is asked of that car.
    expect(self.now.reply.asking).toBe('vehicle');
    until(self, 'vehicle');
    self.says('2014 hatchback');
    send(self);
    expect(self.heard()).toContain('Mia rides in another car');
    expect(summary(self).notes).toContain('c2: rides in another car');
    expect(summary(self).case.children).toHaveLength(2);
    self.taps('another-car');
    expect(self.now.reply).toMatchObject({ asking: 'riding-mode', child: 'c1' });
    self.taps('not-in-this-car');
    expect(self.now.case.children.map(({ name }) => name)).toEqual(['Mia']);
    expect(self.now.reply).toMatchObject({ asking: 'riding-mode', child: 'c2' });
    expect(self.now.reply.choices.map(({ id }) => id)).not.toContain('not-in-this-car');
    self.says('rear-facing');
    self.says('yes');
    self.taps('p2C');
    until(self, 'vehicle');
    self.says('2008 sedan');
    send(self);
    expect(summary(self).notes).not.toContain('rides in another car');
    expect(parseCase(summary(self).case).ok).toBe(true);
  });

  it('of a child can be taken back for a place in this one', () => {
    const self = twoChildrenSent();
    self.taps('other-car');
    self.says('back');
    expect(self.now.reply).toMatchObject({ asking: 'position', child: 'c2' });
    self.taps('p2R');
    expect(self.now.case.uses.find(({ childId }) => childId === 'c2')?.positionId).toBe('p2R');
    expect(summary(self).notes).not.toContain('rides in another car');
  });

  it('is not left by going back or starting over', () => {
    const self = oneChildSent();
    self.taps('another-car');
    self.says('rear-facing');
    for (let steps = 0; steps < 5; steps++) self.says('back');
    expect(self.now.reply).toMatchObject({ asking: 'riding-mode', child: 'c1' });
    expect(summary(self)).toMatchObject({ reference: 'TEST-CODE-2', case: { seats: [{ kind: 'convertible' }] } });
    self.says('start over');
    self.says('yes');
    expect(self.now.reply.asking).toBe('child-count');
    expect(summary(self)).toMatchObject({ reference: 'TEST-CODE-2', case: { children: [] } });
  });

  it('is forgotten with the first when the family deletes its data', () => {
    const self = oneChildSent();
    self.taps('another-car');
    self.says('delete my data');
    self.says('yes');
    expect(self.now.snapshot).toMatchObject({ value: 'deleted', context: { earlier: [], answers: [] } });
  });
});
