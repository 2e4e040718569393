import { describe, expect, it } from 'vitest';
import { aSummary, withPriority } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, openOn } from './places.ts';

const page = { page: 1, pageSize: 10 };

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  describe('the list of cases', () => {
    it('has before travel first, then early, then routine, the oldest first among equals', async () => {
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
        ['D', 'early'],
        ['B', 'early'],
        ['A', 'routine'],
      ]);
      expect((await cases.list({ page: 2, pageSize: 3 })).cases.map(({ reference }) => reference)).toEqual(['A']);
      expect((await cases.list({ page: 9, pageSize: 3 })).cases).toEqual([]);
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
