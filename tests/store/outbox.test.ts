import { describe, expect, it } from 'vitest';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, openOn } from './places.ts';

const effect = (idempotencyKey: string) =>
  ({ kind: 'summary', idempotencyKey, payload: { key: idempotencyKey } }) as const;

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('keeps what a turn asks for, once under its key, until it is due', async () => {
    const { conversations, outbox } = await openOn(await aPlace());
    await conversations.commit(aTurn({ effects: [effect('k1:1'), effect('k1:1')] }));
    await conversations.commit(
      aTurn({
        expectedVersion: 1,
        incoming: { activityId: 'a2', text: 'x' },
        replyId: 'r2',
        effects: [effect('k1:1'), { kind: 'person-wanted', idempotencyKey: 'k1:2', payload: null }],
        at: '2026-05-16T09:31:00.000Z',
      }),
    );
    expect(await outbox.due('2026-05-16T09:29:59.000Z', 10)).toEqual([]);
    const due = await outbox.due('2026-05-16T09:31:00.000Z', 10);
    expect(due.map(({ kind, idempotencyKey, payload, attempts }) => [kind, idempotencyKey, payload, attempts])).toEqual(
      [
        ['summary', 'k1:1', { key: 'k1:1' }, 0],
        ['person-wanted', 'k1:2', null, 0],
      ],
    );
    expect(await outbox.due('2026-05-16T09:31:00.000Z', 1)).toHaveLength(1);
  });
});
