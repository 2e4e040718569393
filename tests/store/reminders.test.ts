import { describe, expect, it } from 'vitest';
import es from '#locales/es/take-home.json' with { type: 'json' };
import { assess } from '#shared/assess.ts';
import type { VisitBody } from '#shared/visit-record/entries.ts';
import { remindersOf } from '#shared/visit-record/reminders.ts';
import { caregiver } from '#src/handoff/caregiver.ts';
import { createDispatcher } from '#src/handoff/dispatcher.ts';
import { createLog } from '#src/log.ts';
import type { Store } from '#src/store/store.ts';
import { createRemind } from '#src/turns/reminding.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { FAMILY } from '../shared/visit-record/entries.ts';
import { DATABASES, NOON, openOn } from './places.ts';

const REFERENCE = 'KV7-2QM';
const ALWAYS = '2099-01-01T00:00:00.000Z';
const uses = [{ ...FAMILY.uses[0], childId: 'c1', mode: 'rear-facing' as const }];
const family = { ...FAMILY, seats: FAMILY.seats.map((seat) => ({ ...seat, expiryDate: '2027-03' })), uses };
const judged = { case: family, assessment: assess(family) };
const remind = createRemind(createWords());
const asked = remind({ conversationId: 'k1', reference: REFERENCE, language: 'es', judged, asked: true });
const unasked = remind({ conversationId: 'k1', reference: REFERENCE, language: 'es', judged, asked: false });
const told = aTurn({
  state: 'sent',
  language: 'es',
  summary: aSummary(judged),
  reminders: unasked,
});
const signOff: VisitBody = { kind: 'sign-off', reported: family };
const entry = { id: 'e1', at: '2026-05-16T11:00:00.000Z', accountId: 'a1', by: 'Robin', body: signOff };
const waiting = async (store: Store) =>
  (await store.outbox.due(ALWAYS, 50)).map(({ idempotencyKey }) => idempotencyKey);
const keys = (effects: typeof asked) => effects.map(({ idempotencyKey }) => idempotencyKey);

it('has something to remind of', () => {
  expect(remindersOf(judged).map(({ about, on }) => [about, on])).toContainEqual(['expiry', '2026-12-31']);
  expect(asked.map(({ dueAt }) => dueAt)).toContain('2026-12-31T16:00:00.000Z');
});

describe.each(DATABASES)('reminders on %s', (_name, aPlace) => {
  it('wait from the sending of the summary on, and those of the signed visit take their place', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    expect((await waiting(store)).sort()).toEqual(keys(unasked).sort());
    await store.visits.add(REFERENCE, entry, asked);
    expect((await waiting(store)).sort()).toEqual(keys(asked).sort());
    const incoming = { activityId: 'a2', text: 'more' };
    await store.conversations.commit({ ...told, expectedVersion: 1, incoming, replyId: 'r2' });
    expect((await waiting(store)).sort()).toEqual(keys(asked).sort());
  });

  it('are sent once each, on their day, in the language of the family, and can be answered', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    await store.visits.add(REFERENCE, entry, asked);
    let now = NOON;
    const clock = () => now;
    const { outbox, conversations } = store;
    const deliver = caregiver({ conversations, clock, channels: {} });
    const log = createLog('silent');
    const dispatcher = createDispatcher({ outbox, destinations: {}, caregiver: deliver, clock, random: () => 0, log });
    expect(await dispatcher.run()).toBe(0);
    now = new Date('2026-12-31T16:00:01.000Z');
    expect(await dispatcher.run()).toBe(1);
    expect(await dispatcher.run()).toBe(0);
    const said = (await conversations.thread('k1', 0)).filter(({ from }) => from === 'service');
    expect(said.map(({ text }) => text)).toEqual([
      es.reminder.expiry.replace('{{child}}', 'Wren').replace('{{date}}', '31 de marzo de 2027'),
    ]);
    // Signed once more, as a correction would do: what was sent stays sent.
    const change = { kind: 'note', text: 'x' } as const;
    const body: VisitBody = { kind: 'correction', why: 'mistake', change };
    await store.visits.add(REFERENCE, { ...entry, id: 'e2', body }, asked);
    expect(await dispatcher.run()).toBe(0);
    expect((await conversations.load('k1'))?.state).toBe('sent');
  });

  it('go when the family deletes its data', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    const incoming = { activityId: 'a2', text: 'delete' };
    const deletion = aTurn({ expectedVersion: 1, state: 'deleted', snapshot: null, incoming, replyId: 'r2' });
    await store.conversations.commit(deletion);
    expect(await waiting(store)).toEqual([]);
  });

  it('keep the data of a family that asked for them, and of no other', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    await store.conversations.commit({ ...told, conversationId: 'k2', summary: null, reminders: [] });
    await store.visits.add(REFERENCE, entry, asked);
    expect((await store.purge('2026-12-01T00:00:00.000Z')).conversations).toBe(1);
    expect((await store.conversations.load('k1'))?.id).toBe('k1');
    expect((await waiting(store)).sort()).toEqual(keys(asked).sort());
    await store.visits.add(
      REFERENCE,
      {
        ...entry,
        id: 'e2',
        body: { kind: 'correction', why: 'mistake', change: { kind: 'reminders', wanted: false } },
      },
      [],
    );
    expect(await waiting(store)).toEqual([]);
    expect((await store.purge('2026-12-01T00:00:00.000Z')).conversations).toBe(1);
  });
});
