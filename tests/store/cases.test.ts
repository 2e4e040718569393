import { sql } from 'kysely';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { CaseFilter } from '#src/store/case-filter.ts';
import { type CasePage, keyOf, type ListedCase } from '#src/store/cases.ts';
import { MIGRATIONS } from '#src/store/migrations.ts';
import { openBackend } from '#src/store/open-store.ts';
import { aSummary, withPriority } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, openOn } from './places.ts';

const page = { pageSize: 10 };

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  describe('the list of cases', () => {
    it('has before travel first, then early, then routine, the newest first among equals', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      const families = [
        withPriority('routine', { reference: 'A', createdAt: '2026-05-01T08:00:00.000Z' }),
        withPriority('early', { reference: 'B', createdAt: '2026-05-03T08:00:00.000Z' }),
        withPriority('before-travel', { reference: 'C', createdAt: '2026-05-04T08:00:00.000Z' }),
        withPriority('early', { reference: 'D', createdAt: '2026-05-02T08:00:00.000Z' }),
      ];
      for (const [i, summary] of families.entries())
        await conversations.commit(aTurn({ conversationId: `k${i}`, summary }));
      const listed = await cases.list(page);
      expect(listed.total).toBe(4);
      expect(listed.cases.map(({ reference, priority }) => [reference, priority])).toEqual([
        ['C', 'before-travel'],
        ['B', 'early'],
        ['D', 'early'],
        ['A', 'routine'],
      ]);
      expect(listed.before).toBe(0);
    });

    it('is paged by places in its order, which hold when families come and go', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      const add = (reference: string, priority: 'early' | 'routine', minute: number) =>
        conversations.commit(
          aTurn({
            conversationId: reference,
            summary: withPriority(priority, { reference, createdAt: `2026-05-01T08:0${minute}:00.000Z` }),
          }),
        );
      for (const reference of ['A', 'B', 'C', 'D', 'E']) await add(reference, 'routine', 1);
      await add('F', 'early', 0);
      const references = ({ cases: listed }: CasePage) => listed.map(({ reference }) => reference);
      const first = await cases.list({ pageSize: 3 });
      expect([references(first), first.total, first.before]).toEqual([['F', 'E', 'D'], 6, 0]);
      const key = keyOf(first.cases[2] as ListedCase);
      // The family at the page's edge goes, and one comes in front of it.
      await conversations.commit(aTurn({ conversationId: 'D', expectedVersion: 1, incoming: null, replyId: 'r2' }));
      await add('G', 'early', 2);
      const second = await cases.list({ pageSize: 2, from: { side: 'after', key } });
      expect([references(second), second.total, second.before]).toEqual([['C', 'B'], 6, 3]);
      const back = await cases.list({ pageSize: 2, from: { side: 'before', key } });
      expect([references(back), back.before]).toEqual([['F', 'E'], 1]);
      const end = { side: 'after', key: { priority: 'routine', createdAt: '2026', reference: '' } } as const;
      expect(await cases.list({ pageSize: 2, from: end })).toEqual({ cases: [], total: 6, before: 0 });
    });

    it.each([
      ['kv7', true],
      ['KV72QM', true],
      ['wren', true],
      ['ÁCIDO 100%', true],
      ['acido wren kv7', true],
      ['100_', false],
      ['%', true],
      ['acido_', false],
      ['\\', false],
      ["'; drop table cases; --", false],
      ['convertible', false],
    ])('is searched in the reference, the nicknames and the words: %s', async (search, found) => {
      const { conversations, cases } = await openOn(await aPlace());
      const caregiverWords = [{ asking: null, text: 'Ácido\u0000 100% leer', values: {} }];
      await conversations.commit(aTurn({ summary: aSummary({ caregiverWords }) }));
      expect((await cases.list({ pageSize: 9, filter: { search } })).total).toBe(found ? 1 : 0);
    });

    it('finds families that were kept before there was a search', async () => {
      const place = await aPlace();
      const { conversations, cases } = await openOn(place);
      await conversations.commit(aTurn({ summary: aSummary() }));
      await conversations.commit(aTurn({ conversationId: 'k2', summary: aSummary({ reference: 'DAMAGED' }) }));
      const { db, close } = await openBackend(place);
      onTestFinished(close);
      await sql`update cases set summary = '{}' where reference = 'DAMAGED'`.execute(db);
      await sql`drop index cases_in_list`.execute(db);
      await sql`alter table cases drop column search_text`.execute(db);
      await sql`create index cases_in_order on cases (priority, created_at, reference)`.execute(db);
      await MIGRATIONS['0003-case-search']?.up(db);
      expect((await cases.list({ pageSize: 9, filter: { search: 'wren' } })).cases).toMatchObject([
        { reference: 'KV7-2QM' },
      ]);
      expect((await cases.list(page)).total).toBe(2);
    });

    it('counts, and names what it can be filtered by', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      const families = [
        withPriority('early', { reference: 'A', language: 'es', event: 'spring', person: true }),
        withPriority('early', { reference: 'B', language: 'es', complete: false }),
        withPriority('routine', { reference: 'C' }),
      ];
      for (const summary of families) await conversations.commit(aTurn({ conversationId: summary.reference, summary }));
      const byPriority = { 'before-travel': 0, early: 2, routine: 1 };
      expect(await cases.counts({})).toEqual({ byPriority, person: 1, unfinished: 1 });
      expect(await cases.counts({ eventId: 'spring' })).toMatchObject({ byPriority: { early: 1, routine: 0 } });
      const { languages, eventIds } = await cases.choices();
      expect([languages.toSorted(), eventIds]).toEqual([['en', 'es'], ['spring']]);
      const references = async (filter: CaseFilter) =>
        (await cases.list({ pageSize: 9, filter })).cases.map(({ reference }) => reference);
      expect(await references({ language: 'es' })).toEqual(['B', 'A']);
      expect(await references({ complete: false })).toEqual(['B']);
      expect(await references({ person: true, priority: 'early' })).toEqual(['A']);
      expect(await cases.referencesOf('A')).toEqual(['A']);
      expect(await cases.referencesOf('nobody')).toEqual([]);
    });

    it('holds a case for each car of a family, and drops one that the conversation left behind', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      const turn = (expectedVersion: number, reference: string, earlier: readonly string[]) =>
        aTurn({
          expectedVersion,
          incoming: { activityId: `a${expectedVersion}`, text: 'hello' },
          replyId: `r${expectedVersion}`,
          summary: aSummary({ reference, createdAt: `2026-05-0${expectedVersion + 1}T08:00:00.000Z` }),
          earlier,
        });
      const references = async () => (await cases.list(page)).cases.map(({ reference }) => reference);
      await conversations.commit(turn(0, 'A', []));
      await conversations.commit(turn(1, 'A-2', ['A']));
      expect(await references()).toEqual(['A-2', 'A']);
      expect(await cases.referencesOf(aTurn({}).conversationId)).toEqual(['A', 'A-2']);
      await conversations.commit(turn(2, 'B', []));
      expect(await references()).toEqual(['B']);
      const other = aTurn({ conversationId: 'another', summary: aSummary({ reference: 'B' }) });
      await expect(conversations.commit(other)).rejects.toThrow('another conversation');
      expect(await references()).toEqual(['B']);
    });

    it('says of each family what the desk shows', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      await conversations.commit(aTurn({ summary: aSummary({ event: 'spring', person: true, complete: false }) }));
      expect((await cases.list(page)).cases[0]).toEqual({
        reference: 'KV7-2QM',
        priority: 'routine',
        eventId: 'spring',
        language: 'en',
        minutes: 34,
        complete: false,
        person: true,
        urgentCount: 0,
        visitCount: 1,
        verifyCount: 1,
        children: [{ name: 'Wren', ageMonths: { min: 26, max: 26 }, mode: 'rear-facing', certainty: 'provisional' }],
        createdAt: '2026-05-16T09:30:00.000Z',
      });
    });

    it.each([
      ['2024-03-10', { min: 26, max: 26 }],
      ['2024-03', { min: 25, max: 26 }],
      ['2026', { min: 0, max: 4 }],
    ])('reads a birth date of %s as completed months', async (birthDate, ageMonths) => {
      const { conversations, cases } = await openOn(await aPlace());
      const summary = aSummary();
      summary.case.children = [{ id: 'c1', birthDate }];
      await conversations.commit(aTurn({ summary }));
      expect((await cases.list(page)).cases[0]?.children).toMatchObject([{ name: null, ageMonths }]);
    });
  });

  describe('one case', () => {
    it('is found whole by its reference', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      await conversations.commit(aTurn({ summary: aSummary() }));
      expect(await cases.byReference('KV7-2QM')).toEqual({
        state: 'found',
        summary: aSummary(),
        conversationId: 'k1',
      });
      expect(await cases.byReference('kv7-2qm')).toEqual({ state: 'missing' });
    });

    it('follows the conversation: changed, gone with a restart, back under a new reference', async () => {
      const { conversations, cases } = await openOn(await aPlace());
      const turn = (version: number, summary: ReturnType<typeof aSummary> | null) =>
        conversations.commit(
          aTurn({
            expectedVersion: version,
            incoming: { activityId: `a${version}`, text: 'x' },
            replyId: `r${version}`,
            summary,
          }),
        );
      await turn(0, aSummary());
      await turn(1, aSummary({ notes: 'prefers the morning' }));
      expect(await cases.byReference('KV7-2QM')).toMatchObject({ summary: { notes: 'prefers the morning' } });
      await turn(2, null);
      expect((await cases.list(page)).total).toBe(0);
      await turn(3, aSummary());
      await turn(4, aSummary({ reference: 'NEW-REF' }));
      expect((await cases.list(page)).cases.map(({ reference }) => reference)).toEqual(['NEW-REF']);
    });

    it('is unreadable, not an exception, when what is stored breaks the schema', async () => {
      const place = await aPlace();
      const { conversations, cases } = await openOn(place);
      await conversations.commit(aTurn({ summary: aSummary() }));
      for (const text of ['{"reference":', '{}', 'null']) {
        await place.run(`update cases set summary = '${text}', children = '${text}'`);
        expect(await cases.byReference('KV7-2QM')).toEqual({ state: 'unreadable' });
        expect((await cases.list(page)).cases[0]).toMatchObject({ reference: 'KV7-2QM', children: null });
      }
    });
  });
});
