import { describe, expect, it } from 'vitest';
import { foldVisit } from '#shared/visit-record/fold.ts';
import type { NewVisitEntry } from '#src/store/visits.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, openOn, type Place } from './places.ts';

const ALWAYS = '2099-01-01T00:00:00.000Z';
const FIRST = 'KV7-2QM';
const SECOND = 'KV7-2QM-2';
const conversationId = aTurn().conversationId;

const entry = (id: string, body: NewVisitEntry['body']): NewVisitEntry => ({
  id,
  at: '2026-05-16T11:00:00.000Z',
  accountId: 'a1',
  by: 'Robin',
  body,
});
const note = (text: string): NewVisitEntry['body'] => ({ kind: 'note', text });
const signOff: NewVisitEntry['body'] = { kind: 'sign-off', reported: aSummary().case };
const late: NewVisitEntry['body'] = { kind: 'correction', why: 'mistake', change: { kind: 'note', text: 'late' } };
const reminder = (reference: string, about: string) => ({
  kind: 'caregiver-message' as const,
  idempotencyKey: `tell:${conversationId}:reminder:asked:${about}:${reference}`,
  reference,
  payload: { conversationId, text: about },
  dueAt: '2026-12-01T16:00:00.000Z',
});
const photo = (id: string) => ({
  id,
  childId: 'c1',
  picture: Buffer.from('whole'),
  thumbnail: Buffer.from('small'),
  fields: {},
});

/** A family whose first car was sent and whose second one follows, each with a reminder and a photo of its own. */
async function withTwoCars(place: Place) {
  const store = await openOn(place);
  const turn = (version: number, reference: string, earlier: readonly string[]) =>
    aTurn({
      expectedVersion: version,
      state: 'sent',
      incoming: { activityId: `a${version}`, text: 'hello' },
      replyId: `r${version}`,
      summary: aSummary({ reference, createdAt: `2026-05-0${version + 1}T08:00:00.000Z` }),
      earlier,
      effects: [{ kind: 'summary', idempotencyKey: `${reference}:${version}`, payload: null, reference }],
      reminders: [reminder(reference, 'expiry')],
      photos: [photo(`p-${reference}`)],
    });
  await store.conversations.commit(turn(0, FIRST, []));
  await store.conversations.commit(turn(1, SECOND, [FIRST]));
  const due = async () =>
    (await store.outbox.due(ALWAYS, 50)).flatMap(({ kind, reference, payload }) =>
      kind === 'caregiver-message' ? [`${reference} ${(payload as { text: string }).text}`] : [],
    );
  return { store, turn, due };
}

describe.each(DATABASES)('two cars of a family on %s', (_name, aPlace) => {
  it('are two cases of one conversation', async () => {
    const { store } = await withTwoCars(await aPlace());
    expect(await store.cases.referencesOf(conversationId)).toEqual([FIRST, SECOND]);
    for (const reference of [FIRST, SECOND])
      expect(await store.cases.byReference(reference)).toMatchObject({
        state: 'found',
        conversationId,
        summary: { reference },
      });
  });

  it('have a record of the visit each, signed and corrected by itself', async () => {
    const place = await aPlace();
    const { store } = await withTwoCars(place);
    const { visits } = store;
    expect(await visits.add(FIRST, entry('e1', note('first')))).toBe('added');
    expect(await visits.add(SECOND, entry('e1', note('second')))).toBe('added');
    expect(await visits.add(FIRST, entry('e2', signOff))).toBe('added');
    expect(await visits.add(FIRST, entry('e3', note('too late')))).toBe('signed');
    expect(await visits.add(SECOND, entry('e4', note('still open')))).toBe('added');
    expect(await visits.add(FIRST, entry('e5', late))).toBe('added');
    expect(await visits.add(SECOND, entry('e6', signOff))).toBe('added');
    const ids = async (reference: string) => (await visits.of(reference)).map(({ seq, id }) => [seq, id]);
    expect(await ids(FIRST)).toEqual([
      [1, 'e1'],
      [2, 'e2'],
      [3, 'e5'],
    ]);
    expect(await ids(SECOND)).toEqual([
      [1, 'e1'],
      [2, 'e4'],
      [3, 'e6'],
    ]);
    expect(foldVisit(await visits.of(SECOND)).corrections).toEqual([]);
    await expect(
      place.run(`insert into visit_entries (reference, conversation_id, seq, id, kind, account_id, at, received_at, entry)
        values ('${SECOND}', '${conversationId}', 9, 'z', 'change', 'a1', 'x', 'x', 'x')`),
    ).rejects.toThrow('signed');
    await expect(
      place.run(`update visit_entries set reference = '${SECOND}' where reference = '${FIRST}'`),
    ).rejects.toThrow('never changed');
  });

  it('have links of their own to the sheets that go home', async () => {
    const { store } = await withTwoCars(await aPlace());
    await store.visits.openLink('h1', { reference: FIRST, conversationId });
    await store.visits.openLink('h2', { reference: SECOND, conversationId });
    expect([await store.visits.linkedTo('h1'), await store.visits.linkedTo('h2')]).toEqual([FIRST, SECOND]);
  });

  it('have reminders of their own, which a visit, a new sending or a refusal changes for its own car only', async () => {
    const { store, turn, due } = await withTwoCars(await aPlace());
    expect((await due()).sort()).toEqual([`${FIRST} expiry`, `${SECOND} expiry`]);
    await store.visits.add(FIRST, entry('e1', signOff), [reminder(FIRST, 'outgrow')]);
    expect((await due()).sort()).toEqual([`${FIRST} outgrow`, `${SECOND} expiry`]);
    const anew = { ...turn(2, SECOND, [FIRST]), effects: [], photos: [], reminders: [reminder(SECOND, 'outgrow')] };
    await store.conversations.commit(anew);
    expect((await due()).sort()).toEqual([`${FIRST} outgrow`, `${SECOND} outgrow`]);
    await store.visits.add(SECOND, entry('e1', signOff), []);
    expect(await due()).toEqual([`${FIRST} outgrow`]);
  });

  it('have photos of their own: starting over in one of them keeps those of the other', async () => {
    const { store, turn } = await withTwoCars(await aPlace());
    const photos = async () =>
      Promise.all([FIRST, SECOND].map(async (reference) => (await store.photos.of(reference)).map(({ id }) => id)));
    expect(await photos()).toEqual([[`p-${FIRST}`], [`p-${SECOND}`]]);
    await store.conversations.commit({ ...turn(2, SECOND, [FIRST]), startsOver: true, photos: [], effects: [] });
    expect(await photos()).toEqual([[`p-${FIRST}`], []]);
  });

  it('are told apart where a notice could not be handed on, and each stands there once', async () => {
    const place = await aPlace();
    const { store } = await withTwoCars(place);
    await store.outbox.spread(['mail'], ALWAYS, 10);
    await place.run(`update outbox set state = 'failed' where destination = 'mail'`);
    const letters = await store.outbox.deadLetters(10);
    expect(letters.map(({ reference }) => reference).sort()).toEqual([FIRST, SECOND]);
    await place.run(`update outbox set reference = null`);
    expect((await store.outbox.deadLetters(10)).map(({ reference }) => reference)).toEqual([SECOND, SECOND]);
  });

  it('are one family with one appointment on the board, whose minutes add up', async () => {
    const store = await openOn(await aPlace());
    await store.events.add({
      id: 'spring',
      name: 'Spring check',
      place: 'Fire station',
      timeZone: 'America/Los_Angeles',
      heldOn: '2026-05-20',
      languages: ['en'],
      hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 2 },
    });
    const booking = { start: '2026-05-20T16:00:00.000Z', minutes: 30, linkHash: null };
    const first = aSummary({ reference: FIRST, event: 'spring' });
    await store.conversations.commit(aTurn({ eventId: 'spring', state: 'sent', summary: first, booking }));
    const { visit } = first.assessment;
    const assessment = { ...first.assessment, visit: { ...visit, priority: 'before-travel' as const } };
    const second = aSummary({
      reference: SECOND,
      event: 'spring',
      createdAt: '2026-06-01T00:00:00.000Z',
      person: true,
      assessment,
    });
    const incoming = { activityId: 'a9', text: 'more' };
    const turn = { eventId: 'spring', expectedVersion: 1, incoming, replyId: 'r9', summary: second, earlier: [FIRST] };
    await store.conversations.commit(aTurn(turn));
    const { arrivals, total } = await store.arrivals.list('spring', { pageSize: 10, page: 0 });
    expect(total).toBe(1);
    expect(arrivals).toMatchObject([
      {
        minutes: 30,
        neededMinutes: 2 * visit.minutes,
        family: { reference: FIRST, otherCars: [SECOND], priority: 'before-travel', person: true },
      },
    ]);
    const id = arrivals[0]?.id ?? '';
    await store.board.assign('spring', id, null, 'a1');
    expect(await store.board.timesOf('a1')).toMatchObject([{ id, reference: FIRST, minutes: 2 * visit.minutes }]);
    await store.arrivals.mark('spring', id, 'booked', 'arrived');
    await store.board.signed({ conversationId, reference: FIRST });
    expect(await store.arrivals.line('spring', id)).toMatchObject({ state: 'arrived' });
    await store.visits.add(FIRST, entry('e1', signOff));
    await store.board.signed({ conversationId, reference: SECOND });
    expect(await store.arrivals.line('spring', id)).toMatchObject({ state: 'done' });
  });

  it('are one family without a time, until it comes', async () => {
    const store = await openOn(await aPlace());
    await store.events.add({ id: 'spring', name: 's', place: 'p', timeZone: 'UTC', heldOn: '2026-05-20' });
    const at = (reference: string) => aSummary({ reference, event: 'spring', complete: reference === FIRST });
    await store.conversations.commit(aTurn({ eventId: 'spring', summary: at(FIRST) }));
    const incoming = { activityId: 'a9', text: 'more' };
    const turn = { eventId: 'spring', expectedVersion: 1, incoming, replyId: 'r9', summary: at(SECOND) };
    await store.conversations.commit(aTurn({ ...turn, earlier: [FIRST] }));
    const { minutes } = aSummary().assessment.visit;
    expect(await store.board.unbooked('spring', 5)).toMatchObject({
      total: 1,
      families: [{ reference: FIRST, otherCars: [SECOND], minutes: 2 * minutes, complete: false }],
    });
    expect(await store.board.come('spring', FIRST)).toBe('come');
    expect(await store.board.come('spring', SECOND)).toBe('already');
    expect(await store.board.unbooked('spring', 5)).toEqual({ total: 0, families: [] });
    const { arrivals } = await store.arrivals.list('spring', { pageSize: 5, page: 0, order: 'urgency' });
    expect(arrivals).toMatchObject([{ minutes: 2 * minutes, neededMinutes: 2 * minutes }]);
  });

  it('go together when the family deletes its data, and when they are too old', async () => {
    for (const ends of ['deleted', 'purged']) {
      const { store, due } = await withTwoCars(await aPlace());
      await store.visits.add(FIRST, entry('e1', signOff));
      await store.visits.add(SECOND, entry('e1', note('x')));
      await store.visits.openLink('h2', { reference: SECOND, conversationId });
      const incoming = { activityId: 'gone', text: 'delete' };
      if (ends === 'deleted')
        await store.conversations.commit(
          aTurn({ expectedVersion: 2, state: 'deleted', snapshot: null, incoming, replyId: 'goodbye' }),
        );
      else {
        // What is asked to be reminded of would keep the family's data.
        for (const reference of [FIRST, SECOND]) await store.visits.add(reference, entry('e9', late), []);
        expect(await store.purge(ALWAYS)).toMatchObject({ conversations: 1, cases: 2 });
      }
      expect(await store.cases.referencesOf(conversationId)).toEqual([]);
      expect([await store.visits.of(FIRST), await store.visits.of(SECOND)]).toEqual([[], []]);
      expect([await due(), await store.photos.count(conversationId)]).toEqual([[], 0]);
      expect(await store.visits.linkedTo('h2')).toBeNull();
    }
  });
});
