import { describe, expect, it } from 'vitest';
import type { Store, TurnCommit } from '#src/store/store.ts';
import { anEvent } from '../factories/event.ts';
import { aSummary, withPriority } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, NOON, openOn } from './places.ts';

const SPRING = anEvent();
const NINE = '2026-05-20T16:00:00.000Z';
const WALK_IN = { name: 'blue van', language: 'so', interpreter: true, minutes: 30, start: null } as const;
const ALL = { pageSize: 50, page: 0 } as const;

const aFamily = (id: string, over: Partial<TurnCommit> = {}): TurnCommit =>
  aTurn({
    conversationId: id,
    eventId: 'spring',
    incoming: { activityId: `a-${id}-${over.expectedVersion ?? 0}`, text: 'hello' },
    replyId: `r-${id}-${over.expectedVersion ?? 0}`,
    summary: aSummary({ reference: `R-${id}`, event: 'spring' }),
    ...over,
  });
const atNine = { booking: { start: NINE, minutes: 30, linkHash: null } };

describe.each(DATABASES)('the board on %s', (_name, aPlace) => {
  async function withEvent(clock = () => NOON): Promise<Store> {
    const store = await openOn(await aPlace(), clock);
    await store.events.add(SPRING);
    return store;
  }
  const walkInId = async (store: Store) => {
    await store.arrivals.addWalkIn('spring', WALK_IN);
    const { arrivals } = await store.arrivals.list('spring', ALL);
    return arrivals.find(({ walkIn }) => walkIn)?.id ?? '';
  };

  it('shows families of the link that chose no time, what cannot wait first, until they come', async () => {
    const store = await withEvent();
    await store.conversations.commit(aFamily('k1'));
    const urgent = withPriority('before-travel', { reference: 'R-k2', event: 'spring' });
    await store.conversations.commit(aFamily('k2', { summary: urgent }));
    await store.conversations.commit(aFamily('k3', atNine));
    await store.conversations.commit(aFamily('k4', { eventId: null, summary: aSummary({ reference: 'R-k4' }) }));
    const { families, total } = await store.board.unbooked('spring', 1);
    expect([families.map(({ reference }) => reference), total]).toEqual([['R-k2'], 2]);
    expect(await store.board.come('spring', 'R-k2')).toBe('come');
    expect(await store.board.come('spring', 'R-k2')).toBe('already');
    expect(await store.board.come('spring', 'R-k4')).toBe('missing');
    expect((await store.board.unbooked('spring', 5)).families.map(({ reference }) => reference)).toEqual(['R-k1']);
    const here = await store.arrivals.list('spring', { ...ALL, states: ['arrived'], order: 'urgency' });
    expect(here).toMatchObject({
      total: 1,
      arrivals: [{ start: null, neededMinutes: 34, arrivedAt: NOON.toISOString(), family: { reference: 'R-k2' } }],
    });
    // Whoever is there without a time is offered none: the family has come.
    expect(await store.arrivals.of('k2')).toEqual({ stay: null, state: 'arrived' });
  });

  it('puts what cannot wait on top of those who are there, whoever came first', async () => {
    const time = { now: NOON };
    const store = await withEvent(() => time.now);
    await store.conversations.commit(aFamily('k1'));
    await store.conversations.commit(
      aFamily('k2', { summary: withPriority('before-travel', { reference: 'R-k2', event: 'spring' }) }),
    );
    for (const reference of ['R-k1', 'R-k2']) {
      time.now = new Date(time.now.getTime() + 60_000);
      await store.board.come('spring', reference);
    }
    const { arrivals } = await store.arrivals.list('spring', { ...ALL, states: ['arrived'], order: 'urgency' });
    expect(arrivals.map(({ family }) => family?.reference)).toEqual(['R-k2', 'R-k1']);
  });

  it('gives a family to one technician, however many take it at once', async () => {
    const store = await withEvent();
    const id = await walkInId(store);
    const both = await Promise.all(['sam', 'kim'].map((who) => store.board.assign('spring', id, null, who)));
    expect(both.toSorted()).toEqual(['stale', 'taken']);
    const holder = (await store.arrivals.line('spring', id))?.technicianId ?? '';
    expect(await store.board.assign('spring', id, holder, holder)).toBe('taken');
    expect(await store.board.assign('spring', id, holder, null)).toBe('taken');
    expect(await store.board.assign('other', id, null, 'sam')).toBe('missing');
    expect(await store.arrivals.line('spring', id)).toMatchObject({ technicianId: null });
  });

  it('joins a walk-in and the interview that began from its link, once', async () => {
    const store = await withEvent();
    const id = await walkInId(store);
    for (const k of ['k1', 'k2']) await store.conversations.commit(aFamily(k, { summary: null }));
    await store.conversations.commit(aTurn({ conversationId: 'k3', eventId: null, replyId: 'r3' }));
    await store.board.claim(id, 'k3');
    expect(await store.arrivals.line('spring', id)).toMatchObject({ talking: false });
    await Promise.all([store.board.claim(id, 'k1'), store.board.claim(id, 'k2')]);
    await store.board.claim('none', 'k1');
    expect(await store.arrivals.line('spring', id)).toMatchObject({ talking: true, family: null });
    for (const k of ['k1', 'k2']) await store.conversations.commit(aFamily(k, { expectedVersion: 1, language: 'es' }));
    const line = await store.arrivals.line('spring', id);
    expect(line).toMatchObject({ walkIn: { name: 'blue van' }, language: 'es', neededMinutes: 34, state: 'arrived' });
    expect(['R-k1', 'R-k2']).toContain(line?.family?.reference);
    expect((await store.board.unbooked('spring', 5)).total).toBe(1);
    // What the family deletes is gone from the board too, with the name that somebody typed.
    const mine = line?.family?.reference === 'R-k1' ? 'k1' : 'k2';
    await store.conversations.commit(aFamily(mine, { expectedVersion: 2, state: 'deleted', summary: null }));
    expect((await store.arrivals.list('spring', ALL)).total).toBe(0);
  });

  it('is done with a family whose visit was signed, if it is there', async () => {
    const store = await withEvent();
    for (const k of ['k1', 'k2']) await store.conversations.commit(aFamily(k, atNine));
    const { arrivals } = await store.arrivals.list('spring', ALL);
    const id = arrivals.find(({ family }) => family?.reference === 'R-k1')?.id ?? '';
    await store.arrivals.mark('spring', id, 'booked', 'arrived');
    for (const k of ['k1', 'k2']) await store.board.signed({ conversationId: k, reference: `R-${k}` });
    const states = (await store.arrivals.list('spring', ALL)).arrivals.map((one) => [one.family?.reference, one.state]);
    expect(states.toSorted()).toEqual([
      ['R-k1', 'done'],
      ['R-k2', 'booked'],
    ]);
  });

  it('knows the minutes that are needed, and whose time it is', async () => {
    const store = await withEvent();
    for (const k of ['k1', 'k2']) await store.conversations.commit(aFamily(k, atNine));
    const { arrivals } = await store.arrivals.list('spring', ALL);
    const [first, second] = arrivals;
    if (!first || !second) throw new Error('two families booked');
    await store.board.assign('spring', first.id, null, 'sam');
    await store.arrivals.mark('spring', second.id, 'booked', 'no-show');
    expect(await store.board.needed('spring')).toEqual([{ start: NINE, minutes: 34 }]);
    expect(await store.board.timesOf('sam')).toEqual([
      {
        id: first.id,
        eventId: 'spring',
        start: NINE,
        minutes: 34,
        reference: first.family?.reference,
        changedAt: NOON.toISOString(),
      },
    ]);
    expect(await store.board.timesOf('kim')).toEqual([]);
  });
});
