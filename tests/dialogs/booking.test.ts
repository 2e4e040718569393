import { describe, expect, it } from 'vitest';
import { begin, type Step, step } from '#dialogs/conversation.ts';
import { type EventTimes, timeId } from '#dialogs/event-times.ts';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { freeTimes, type Stay } from '#shared/events/free-times.ts';
import { ears, TODAY, voice } from './caregiver.ts';

const HELD = {
  heldOn: '2026-05-20',
  timeZone: 'America/Los_Angeles',
  hours: { opensAt: '09:00', closesAt: '13:00', stepMinutes: 30, technicians: 1 },
} as const;
/** A time of that morning there, where clocks are seven hours behind UTC. */
const at = (time: string): string =>
  `2026-05-20T${String(Number(time.slice(0, 2)) + 7).padStart(2, '0')}${time.slice(2)}:00.000Z`;

interface Event {
  taken: Stay[];
  booked: Stay | null;
}

const timesOf = ({ taken, booked }: Event): EventTimes => ({
  place: 'Fire station',
  heldOn: HELD.heldOn,
  timeZone: HELD.timeZone,
  free: freeTimes(HELD, taken),
  booked,
  link: 'https://seats.example.org/calendar/x',
});

/** A family that has said all there is to say and stands before the review; what it books is booked. */
function family(language: Language = 'en', event: Event = { taken: [], booked: null }) {
  let now: Step = begin({ language, languageKnown: true, eventId: 'spring', reference: 'TEST-CODE', today: TODAY });
  const send = (text: string, choiceIds: readonly string[]): Step => {
    now = step(now.snapshot, { text, choiceIds }, TODAY, ears, timesOf(event));
    // As the store does it, through JSON.
    const read = readSnapshot(JSON.parse(JSON.stringify(now.snapshot)));
    if (!read.ok) throw new Error(read.reason);
    if (now.booking !== undefined) event.booked = now.booking;
    now = { ...now, snapshot: read.snapshot };
    return now;
  };
  const self = {
    event,
    says: (text: string) => send(text, []),
    taps: (id: string) => send('', [id]),
    now: () => now,
    heard: () => voice.render(now.snapshot.context.language, now.reply).say.join('\n'),
    labels: () => voice.render(now.snapshot.context.language, now.reply).choices.map(({ text }) => text),
    ids: () => now.reply.choices.map(({ id }) => id),
    keys: () => now.reply.say.map(({ key }) => key),
  };
  self.taps('yes');
  self.taps('1');
  const taps: Readonly<Record<string, string>> = { 'riding-mode': 'seat-belt' };
  for (let turns = 0; now.reply.asking !== 'review' && turns < 40; turns++) {
    const { asking } = now.reply;
    if (asking === 'age') self.says('2014-01-05');
    else if (asking === 'height') self.says('150 cm');
    else self.taps(taps[asking ?? ''] ?? (self.ids().includes('unsure') ? 'unsure' : (self.ids()[0] ?? '')));
  }
  expect(now.reply.asking).toBe('review');
  return self;
}

const atSlots = (language?: Language, event?: Event) => {
  const self = family(language, event);
  self.taps('yes');
  return self;
};

describe('a family at an event with slots', () => {
  it('is asked for a time after the review, by the clocks of the place, and may be done without', () => {
    const self = family();
    expect(self.taps('yes').reply).toMatchObject({ asking: 'slot', done: false });
    expect(self.ids()).toEqual([
      ...['09:00', '09:30', '10:00', '10:30', '11:00', '11:30'].map(at).map(timeId),
      'none',
      'later',
    ]);
    expect(self.labels().slice(0, 2)).toEqual(['9:00 AM', '9:30 AM']);
    expect(self.heard()).toContain('May 20, 2026');
    expect(self.heard()).toContain('Fire station');
    self.taps('later');
    expect(self.now().reply).toMatchObject({ asking: null, done: true });
    expect(self.event.booked).toBeNull();
    expect(self.keys()).toEqual(expect.arrayContaining(['slot.later', 'slot.none-yet']));
    expect(self.ids()).toEqual(['choose-time', 'another-car']);
  });

  it.each([
    ['its id', timeId(at('10:30'))],
    ['its id in small letters', timeId(at('10:30')).toLowerCase()],
    ['its number', '4'],
    ['the figures', '10:30'],
    ['the figures with a half of the day', '10:30 am please'],
    ['figures parted by a point', 'at 10.30'],
    ['figures parted by an h', '10h30'],
    ['Arabic figures', '١٠:٣٠'],
    ['full-width figures', '１０：３０'],
  ])('books by %s', (_, words) => {
    const self = atSlots();
    expect(self.says(words).booking).toMatchObject({ start: at('10:30') });
    expect(self.now().reply).toMatchObject({ done: true, asking: null });
    expect(self.heard()).toContain('10:30');
    expect(self.heard()).toContain('https://seats.example.org/calendar/x');
    expect(self.ids()).toEqual(['change-time', 'cancel-time', 'another-car']);
  });

  it.each([
    ['11 am', '11:00'],
    ['at 11', '11:00'],
    ['11 o’clock', '11:00'],
    ['noon is too late, the earliest', '09:00'],
    ['the last one', '12:30'],
    ['12', '12:00'],
    ['12:30 pm', '12:30'],
  ])('hears "%s" as %s', (words, time) => {
    expect(atSlots().says(words).booking).toMatchObject({ start: at(time) });
  });

  it.each(['14:00', '9 pm', '10:15', '3:00 in the afternoon'])('tells that %s is not free, and asks again', (words) => {
    const self = atSlots();
    expect(self.says(words).booking).toBeUndefined();
    expect(self.keys()[0]).toBe('slot.not-free');
    expect(self.now().reply.asking).toBe('slot');
  });

  it('is shown further times, and told that none is left to suit it', () => {
    const self = atSlots();
    self.taps('none');
    expect(self.ids()).toEqual([...['12:00', '12:30'].map(at).map(timeId), 'none', 'later']);
    expect(self.says('2').booking).toMatchObject({ start: at('12:30') });
    const other = atSlots();
    other.taps('none');
    other.says('none of these');
    expect(other.now().reply.done).toBe(true);
    expect(other.keys()[0]).toBe('slot.none-fits');
    expect(other.now().snapshot.context.words.at(-1)).toMatchObject({ asking: 'slot', text: 'none of these' });
  });

  it('means by a number what was shown, though others took it meanwhile', () => {
    const self = atSlots();
    self.event.taken = [{ start: at('09:00'), minutes: 60 }];
    // "2" was half past nine, which is gone; it must not become what stands second now.
    expect(self.says('2').booking).toBeUndefined();
    expect(self.keys()[0]).toBe('slot.not-free');
    expect(self.ids()[0]).toBe(timeId(at('10:00')));
    expect(self.says('1').booking).toMatchObject({ start: at('10:00') });
  });

  it('is offered only times that are long enough for its visit', () => {
    const taken = [{ start: at('10:00'), minutes: 150 }];
    const self = atSlots('en', { taken, booked: null });
    const { minutes } = self.now().assessment.visit;
    expect(minutes).toBeLessThanOrEqual(30);
    expect(self.ids().slice(0, -2)).toEqual(['09:00', '09:30', '12:30'].map(at).map(timeId));
    expect(self.taps(timeId(at('09:30'))).booking).toEqual({ start: at('09:30'), minutes });
  });

  it('is told where all times are taken, and not asked', () => {
    const self = family('en', { taken: [{ start: at('09:00'), minutes: 240 }], booked: null });
    self.taps('yes');
    expect(self.now().reply.done).toBe(true);
    expect(self.keys()).toContain('slot.full');
    expect(self.ids()).toEqual(['another-car']);
  });

  it('changes its time later in the same conversation, and keeps it until another is chosen', () => {
    const self = atSlots();
    self.says('10:30');
    self.says('I want to change my time');
    expect(self.now().reply.asking).toBe('slot');
    expect(self.event.booked).toMatchObject({ start: at('10:30') });
    expect(self.says('why?').reply.asking).toBe('slot');
    expect(self.heard()).toContain('you wait less');
    expect(self.says('11:30').booking).toMatchObject({ start: at('11:30') });
    self.taps('change-time');
    self.taps('later');
    expect(self.event.booked).toMatchObject({ start: at('11:30') });
    // A button of an old turn counts as a wish for that time.
    expect(self.taps(timeId(at('09:00'))).booking).toMatchObject({ start: at('09:00') });
  });

  it('gives its time back only after a yes', () => {
    const self = atSlots();
    self.says('10:30');
    self.says('we cannot come');
    expect(self.now().reply.asking).toBe('confirm');
    self.taps('no');
    expect(self.event.booked).toMatchObject({ start: at('10:30') });
    expect(self.now().reply.done).toBe(true);
    self.taps('cancel-time');
    expect(self.says('yes').booking).toBeNull();
    expect(self.keys()[0]).toBe('slot.cancelled');
    expect(self.ids()).toEqual(['choose-time', 'another-car']);
    expect(self.says('book a time').reply.asking).toBe('slot');
  });

  it('keeps its time through a correction, with as many minutes as the visit needs now', () => {
    const self = atSlots();
    self.says('10:30');
    const before = self.event.booked?.minutes ?? 0;
    self.says('Actually he is 4 years old');
    for (let turns = 0; !self.now().reply.done && turns < 60; turns++) {
      const { asking } = self.now().reply;
      const ids = self.ids();
      self.taps(
        asking === 'review' || asking === 'confirm' ? 'yes' : ids.includes('unsure') ? 'unsure' : (ids[0] ?? ''),
      );
    }
    const { minutes } = self.now().assessment.visit;
    expect(minutes).toBeGreaterThan(before);
    expect(self.event.booked).toEqual({ start: at('10:30'), minutes });
  });

  it('is told what the desk did with its time', () => {
    const self = atSlots();
    self.says('10:30');
    self.event.booked = { start: at('12:00'), minutes: 30 };
    expect(self.says('see you there').booking).toBeUndefined();
    expect(self.heard()).toContain('12:00');
  });

  it('may say anything else while a time is asked for', () => {
    for (const words of [
      'help',
      'why',
      'I want a person',
      'back',
      'delete my data',
      'español',
      '???',
      'he weighs 90 lb',
    ])
      expect(atSlots().says(words).booking, words).toBeUndefined();
    expect(atSlots().says('back').reply.asking).toBe('review');
    expect(atSlots().says('I don’t know').reply.done).toBe(true);
    expect(atSlots().says('español').snapshot.context.language).toBe('es');
  });

  it('forgets the time with all else', () => {
    const self = atSlots();
    self.says('10:30');
    self.says('delete');
    expect(self.taps('yes').booking).toBeNull();
    expect(self.now().snapshot.context.slot).toBeUndefined();
  });
});

describe.each(LANGUAGES)('in %s', (language) => {
  it('times are named in the language, and chosen by its words', () => {
    const self = atSlots(language);
    expect(self.labels()[3]).toContain('10:30');
    const typed = self.labels().at(3) ?? '';
    expect(self.says(typed).booking).toMatchObject({ start: at('10:30') });
    const [change = '', cancel = ''] = self.labels();
    expect(self.says(change).reply.asking).toBe('slot');
    self.says(self.labels().at(-1) ?? '');
    expect(self.says(cancel).reply.asking).toBe('confirm');
    self.taps('yes');
    expect(self.says(self.labels()[0] ?? '').reply.asking).toBe('slot');
    self.says(self.labels().at(-2) ?? '');
    expect(self.ids()[0]).toBe(timeId(at('12:00')));
  });
});

describe('a conversation whose event has no slots, or that has no event', () => {
  it('is not asked, and hears nothing of times', () => {
    let now = family().now();
    now = step(now.snapshot, { text: '', choiceIds: ['yes'] }, TODAY, ears);
    expect(now.reply).toMatchObject({ done: true, choices: [{ id: 'another-car' }] });
    expect(now.reply.say.some(({ key }) => key.startsWith('slot.'))).toBe(false);
    expect('booking' in now).toBe(false);
  });

  it('that loses its slots while one is asked for, is done', () => {
    const waiting = atSlots().now();
    const after = step(waiting.snapshot, { text: '10:30', choiceIds: [] }, TODAY, ears);
    expect(after.reply.done).toBe(true);
    expect('booking' in after).toBe(false);
  });
});
