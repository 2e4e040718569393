import { describe, expect, it } from 'vitest';
import type { NewEvent } from '#src/store/events.ts';
import type { Store, TurnCommit } from '#src/store/store.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, NOON, openOn } from './places.ts';

const SPRING: NewEvent = {
  id: 'spring',
  name: 'Spring check',
  place: 'Fire station',
  timeZone: 'America/Los_Angeles',
  heldOn: '2026-05-20',
  languages: ['en', 'es'],
  hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 2 },
};
const at = (time: string): string => `2026-05-20T${time}:00.000Z`;
const NINE = at('16:00');
const TEN = at('17:00');

const booking = (start: string, minutes = 30, linkHash: string | null = null) => ({ start, minutes, linkHash });

/** A turn of a family of the event that books. */
const aBooking = (conversationId: string, start: string, over: Partial<TurnCommit> = {}): TurnCommit =>
  aTurn({
    conversationId,
    eventId: 'spring',
    incoming: { activityId: `a-${conversationId}`, text: 'nine' },
    replyId: `r-${conversationId}-${over.expectedVersion ?? 0}`,
    summary: aSummary({ reference: `R-${conversationId}`, event: 'spring' }),
    booking: booking(start),
    ...over,
  });

const WALK_IN = { name: 'blue van', language: 'so', interpreter: true, minutes: 30, start: null } as const;

const times = async (store: Store) =>
  (await store.arrivals.list('spring', { pageSize: 50, page: 0 })).arrivals.map(({ start }) => start);

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  const withEvent = async () => {
    const place = await aPlace();
    const store = await openOn(place);
    await store.events.add(SPRING);
    return { place, store };
  };

  describe('an event', () => {
    it('is read as it was made, and one without hours has none', async () => {
      const { store } = await withEvent();
      expect(await store.events.byId('spring')).toEqual({ ...SPRING, version: 1 });
      await store.events.add({ id: 'old', name: 'o', place: 'p', timeZone: 'UTC', heldOn: '2026-01-01' });
      expect(await store.events.byId('old')).toMatchObject({ hours: null, languages: [] });
      expect((await store.events.list()).map(({ id }) => id)).toEqual(['old', 'spring']);
      expect(await store.events.add({ ...SPRING, name: 'again' })).toBe('taken');
      expect(await store.events.byId('none')).toBeNull();
    });

    it('is changed by whoever read it last, and not by two at once', async () => {
      const { store } = await withEvent();
      const read = { ...SPRING, languages: [], hours: null, version: 1 };
      const both = await Promise.all(['one', 'two'].map((name) => store.events.change({ ...read, name })));
      expect(both.map(({ state }) => state).toSorted()).toEqual(['changed', 'stale']);
      expect(await store.events.change({ ...read, id: 'none' })).toEqual({ state: 'missing' });
    });

    it('keeps the hours that families booked', async () => {
      const { store } = await withEvent();
      await store.conversations.commit(aBooking('k1', at('17:30')));
      const event = await store.events.byId('spring');
      if (!event?.hours) throw new Error('no event');
      const shorter = { ...event, hours: { ...event.hours, closesAt: '10:30' } };
      expect(await store.events.change(shorter)).toEqual({ state: 'booked', families: 1 });
      expect(await store.events.change({ ...event, hours: null })).toEqual({ state: 'booked', families: 1 });
      expect(await store.events.change({ ...event, heldOn: '2026-05-21' })).toEqual({ state: 'booked', families: 1 });
      expect(await store.events.change({ ...event, hours: { ...event.hours, technicians: 1 } })).toEqual({
        state: 'changed',
      });
    });
  });

  describe('a time', () => {
    it('is booked with the turn, moved, given back, and freed when the family deletes its data', async () => {
      const { store } = await withEvent();
      const { commit } = store.conversations;
      expect(await commit(aBooking('k1', NINE))).toBe('committed');
      expect(await store.arrivals.of('k1')).toEqual({ stay: { start: NINE, minutes: 30 }, state: 'booked' });
      const next = (expectedVersion: number, over: Partial<TurnCommit>) =>
        aBooking('k1', TEN, { expectedVersion, incoming: { activityId: `a${expectedVersion}`, text: '' }, ...over });
      expect(await commit(next(1, {}))).toBe('committed');
      expect(await times(store)).toEqual([TEN]);
      const { booking: _none, ...unchanged } = next(2, {});
      expect(await commit(unchanged)).toBe('committed');
      expect(await times(store)).toEqual([TEN]);
      expect(await commit(next(3, { booking: null }))).toBe('committed');
      expect(await times(store)).toEqual([]);
      expect(await commit(next(4, {}))).toBe('committed');
      expect(await commit(next(5, { state: 'deleted' }))).toBe('committed');
      expect(await store.arrivals.taken('spring')).toEqual([]);
    });

    it('that is taken is refused, and nothing of the turn is written', async () => {
      const { store } = await withEvent();
      for (const id of ['k1', 'k2']) await store.conversations.commit(aBooking(id, NINE));
      expect(await store.conversations.commit(aBooking('k3', NINE))).toBe('slot-taken');
      expect(await store.conversations.load('k3')).toBeNull();
      expect(await store.conversations.commit(aBooking('k3', NINE, { booking: booking(at('16:30'), 90) }))).toBe(
        'committed',
      );
      // Its own time counts as free for itself.
      expect(
        await store.conversations.commit(
          aBooking('k3', NINE, {
            expectedVersion: 1,
            incoming: { activityId: 'b', text: '' },
            booking: booking(TEN, 60),
          }),
        ),
      ).toBe('committed');
    });

    it.each([
      ['off the grid', at('16:10')],
      ['before it opens', at('15:30')],
      ['of no day', 'never'],
    ])('%s is refused', async (_, start) => {
      const { store } = await withEvent();
      expect(await store.conversations.commit(aBooking('k1', start))).toBe('slot-taken');
    });

    it('of an event that is not there, or has no slots, is refused', async () => {
      const { store } = await withEvent();
      await store.events.add({ id: 'open', name: 'o', place: 'p', timeZone: 'UTC', heldOn: '2026-05-20' });
      for (const eventId of ['none', 'open', null])
        expect(await store.conversations.commit(aBooking('k1', NINE, { eventId }))).toBe('slot-taken');
    });

    it('that is the last goes to one of many who want it at once, whatever instance they reach', async () => {
      const { place, store } = await withEvent();
      const instances = [store, await openOn(place), await openOn(place)];
      const many = Array.from({ length: 24 }, (_, i) => i);
      const results = await Promise.all(
        many.map((i) => instances[i % 3]?.conversations.commit(aBooking(`k${i}`, TEN, { booking: booking(TEN, 45) }))),
      );
      // Two technicians, and 45 minutes from ten on leave no time before or after for a third.
      expect(results.filter((result) => result === 'committed')).toHaveLength(2);
      expect(results.filter((result) => result === 'slot-taken')).toHaveLength(22);
      expect(await times(store)).toEqual([TEN, TEN]);
    });

    it('is never given to more families than can be seen, when all slots are fought for at once', async () => {
      const { place, store } = await withEvent();
      const other = await openOn(place);
      const wants = Array.from({ length: 30 }, (_, i) => ({
        id: `k${i}`,
        want: booking(at(['16:00', '16:30', '17:00', '17:30'][i % 4] ?? ''), [30, 20, 60][i % 3]),
      }));
      await Promise.all(
        wants.map(({ id, want }, i) =>
          (i % 2 ? other : store).conversations.commit(aBooking(id, NINE, { booking: want })),
        ),
      );
      const taken = await store.arrivals.taken('spring');
      for (const slot of ['16:00', '16:30', '17:00', '17:30'].map((time) => Date.parse(at(time)))) {
        const there = taken.filter(
          ({ start, minutes }) => Date.parse(start) < slot + 1_800_000 && Date.parse(start) + minutes * 60_000 > slot,
        );
        expect(there.length).toBeLessThanOrEqual(2);
      }
      expect(taken.length).toBeGreaterThanOrEqual(4);
    });
  });

  describe('the board', () => {
    it('lists who comes in the order of the times, a page at a time, with the case', async () => {
      const { store } = await withEvent();
      await store.conversations.commit(aBooking('k2', TEN, { language: 'es' }));
      await store.conversations.commit(aBooking('k1', NINE));
      expect(await store.arrivals.addWalkIn('spring', WALK_IN)).toBe('added');
      const { arrivals, total } = await store.arrivals.list('spring', { pageSize: 2, page: 0 });
      expect(total).toBe(3);
      expect(
        arrivals.map(({ family, neededMinutes }) => [family?.reference, family?.children?.[0]?.name, neededMinutes]),
      ).toEqual([
        ['R-k1', 'Wren', 34],
        ['R-k2', 'Wren', 34],
      ]);
      const rest = await store.arrivals.list('spring', { pageSize: 2, page: 1 });
      expect(rest.arrivals).toMatchObject([
        { walkIn: { name: 'blue van' }, family: null, start: null, state: 'arrived' },
      ]);
    });

    it('counts states, languages, interpreters and minutes', async () => {
      const { store } = await withEvent();
      await store.conversations.commit(aBooking('k1', NINE));
      await store.conversations.commit(aBooking('k2', NINE, { language: 'es' }));
      await store.arrivals.addWalkIn('spring', WALK_IN);
      await store.arrivals.addWalkIn('spring', { ...WALK_IN, start: TEN, minutes: 40, language: 'es' });
      const first = (await store.arrivals.list('spring', { pageSize: 1, page: 0 })).arrivals[0]?.id ?? '';
      await store.arrivals.mark('spring', first, 'booked', 'no-show');
      expect(await store.arrivals.counts('spring')).toEqual({
        byState: { booked: 1, arrived: 2, done: 0, 'no-show': 1 },
        walkIns: 2,
        byLanguage: expect.arrayContaining([{ language: 'so', families: 1, interpreter: 1 }]),
        withoutTime: { families: 1, minutes: 30 },
        stays: [
          { start: NINE, minutes: 30, families: 1 },
          { start: TEN, minutes: 40, families: 1 },
        ],
      });
    });

    it('keeps a walk-in from taking a time that is taken', async () => {
      const { store } = await withEvent();
      for (const id of ['k1', 'k2']) await store.conversations.commit(aBooking(id, NINE));
      expect(await store.arrivals.addWalkIn('spring', { ...WALK_IN, start: NINE })).toBe('taken');
      expect(await store.arrivals.addWalkIn('none', WALK_IN)).toBe('missing');
    });

    it('marks once, tells of another who was faster, and gives a late family no time that others have', async () => {
      const { store } = await withEvent();
      await store.conversations.commit(aBooking('k1', NINE));
      const id = (await store.arrivals.list('spring', { pageSize: 1, page: 0 })).arrivals[0]?.id ?? '';
      const { mark } = store.arrivals;
      expect(await mark('spring', id, 'booked', 'arrived')).toBe('marked');
      expect(await mark('spring', id, 'booked', 'arrived')).toBe('marked');
      expect(await mark('spring', id, 'booked', 'no-show')).toBe('stale');
      expect(await mark('other', id, 'arrived', 'done')).toBe('missing');
      // Whoever is there does not move its time by a message any more.
      const late = { expectedVersion: 1, incoming: { activityId: 'b', text: '' } };
      expect(await store.conversations.commit(aBooking('k1', TEN, late))).toBe('slot-taken');
      expect(await mark('spring', id, 'arrived', 'no-show')).toBe('marked');
      for (const other of ['k2', 'k3']) await store.conversations.commit(aBooking(other, NINE));
      expect(await mark('spring', id, 'no-show', 'arrived')).toBe('untimed');
      expect(await times(store)).toEqual([NINE, NINE, null]);
    });

    it('tells every instance that it changed', async () => {
      const { place, store } = await withEvent();
      const other = await openOn(place);
      const heard = new Promise((resolve) => (place.databaseUrl ? other : store).conversations.watch(resolve));
      await store.arrivals.addWalkIn('spring', WALK_IN);
      expect(await heard).toBe('event:spring');
    });

    it('forgets walk-ins with all else that is too old', async () => {
      const { store } = await withEvent();
      await store.arrivals.addWalkIn('spring', WALK_IN);
      await store.purge(NOON.toISOString());
      expect((await store.arrivals.list('spring', { pageSize: 5, page: 0 })).total).toBe(1);
      await store.purge('2026-05-16T12:00:00.001Z');
      expect((await store.arrivals.list('spring', { pageSize: 5, page: 0 })).total).toBe(0);
    });
  });

  it('a private link leads to the time that is booked now', async () => {
    const { store } = await withEvent();
    await store.conversations.commit(aBooking('k1', NINE, { booking: booking(NINE, 30, 'h1') }));
    expect(await store.arrivals.linked('h1')).toMatchObject({ eventId: 'spring', stay: { start: NINE, minutes: 30 } });
    expect(await store.arrivals.linked('h2')).toBeNull();
  });
});
