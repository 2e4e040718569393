import fc from 'fast-check';
import { expect, it } from 'vitest';
import { openStore } from '#src/store/open-store.ts';
import type { Store, TurnCommit } from '#src/store/store.ts';
import { withPriority } from '../factories/summary.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { aDatabaseUrl } from './places.ts';

const RUNS = 15;
const IDS = ['k1', 'k2', 'k3'];
const REFERENCES = ['2ABC-9XYZ', 'A2BC-9XYZ', 'ABCD-EFGH', 'Z9Z9-2222'];
const TEXTS = ['', 'yes', 'İstanbul ñ é', '汉字 👶', "'; drop table thread; --", '\t"quoted" \\ %_', 'x'.repeat(3000)];

const id = fc.constantFrom(...IDS);
const small = fc.nat({ max: 6 });
const priority = fc.constantFrom('before-travel', 'early', 'routine' as const);
const instant = fc.integer({ min: 0, max: 5 }).map((minute) => `2026-05-16T09:3${minute}:00.000Z`);

/** What is done to a store: everything that is seen of it comes back. */
type Step = (store: Store) => Promise<unknown>;

const turn: fc.Arbitrary<TurnCommit> = fc
  .record({
    conversationId: id,
    expectedVersion: small,
    activity: fc.option(small),
    reply: small,
    text: fc.constantFrom(...TEXTS),
    state: fc.constantFrom('talking', 'talking', 'talking', 'sent', 'deleted' as const),
    summary: fc.option(
      fc.record({
        reference: fc.constantFrom(...REFERENCES),
        priority,
        createdAt: instant,
      }),
    ),
    effects: fc.array(small, { maxLength: 2 }),
    at: instant,
  })
  .map(({ conversationId, expectedVersion, activity, reply, text, state, summary, effects, at }) =>
    aTurn({
      conversationId,
      expectedVersion,
      incoming: activity === null ? null : { activityId: `a${activity}`, text },
      reply: aReply(text),
      replyId: `r${reply}`,
      state: state as TurnCommit['state'],
      summary:
        summary && withPriority(summary.priority, { reference: summary.reference, createdAt: summary.createdAt }),
      effects: effects.map((key) => ({
        kind: 'summary',
        idempotencyKey: `${conversationId}:${key}`,
        payload: { text },
      })),
      at,
    }),
  );

// The ids of entries are drawn by chance on each side.
const unnamed = (entries: readonly { readonly idempotencyKey: string }[]) =>
  entries.map((entry) => ({ ...entry, id: '' })).toSorted((a, b) => (a.idempotencyKey < b.idempotencyKey ? -1 : 1));

const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 6,
    arbitrary: turn.map(
      (one): Step =>
        (store) =>
          store.conversations.commit(one),
    ),
  },
  fc.tuple(id, small, fc.constantFrom(...TEXTS), instant).map(
    ([conversationId, line, text, at]): Step =>
      (store) =>
        store.conversations.note(conversationId, [{ id: `n${line}`, from: 'service', text }], at),
  ),
  fc.tuple(id, small).map(
    ([conversationId, n]): Step =>
      async ({ conversations }) => [
        await conversations.load(conversationId),
        await conversations.thread(conversationId, n),
        await conversations.replyTo(conversationId, `a${n}`),
        await conversations.lastReply(conversationId),
      ],
  ),
  fc
    .record({
      key: fc.record({ priority, createdAt: instant, reference: fc.constantFrom(...REFERENCES) }),
      side: fc.constantFrom('after', 'before' as const),
      first: fc.boolean(),
      filter: fc.record(
        { search: fc.constantFrom('abcd', 'Z9z9 2222', '%', '_', 'İSTANBUL', '\\'), priority, complete: fc.boolean() },
        { requiredKeys: [] },
      ),
      reference: fc.constantFrom(...REFERENCES),
    })
    .map(
      ({ key, side, first, filter, reference }): Step =>
        async ({ cases }) => [
          await cases.list({ pageSize: 2, filter, ...(first ? {} : { from: { side, key } }) }),
          await cases.byReference(reference),
        ],
    ),
  fc.tuple(instant, instant).map(
    ([at, until]): Step =>
      async ({ outbox }) => {
        const due = unnamed(await outbox.due(at, 100));
        const spread = await outbox.spread(['webhook', 'mail'], at, 100);
        const claimed = await outbox.claim(at, until, 100);
        for (const [i, one] of claimed.toSorted((a, b) => (a.idempotencyKey < b.idempotencyKey ? -1 : 1)).entries()) {
          if (i % 3 === 0) await outbox.settle(one, { kind: 'done' });
          if (i % 3 === 1) await outbox.settle(one, { kind: 'failed', why: 'answered 410' });
        }
        const counts = (await outbox.counts()).map((count) => JSON.stringify(count)).toSorted();
        return [due, spread, unnamed(claimed), counts];
      },
  ),
);

/** What came back, or that it was refused; the two databases say so in words of their own. */
const outcome = (result: Promise<unknown>) => result.catch((error: Error) => ({ refused: error instanceof Error }));

it('whatever is done to them, SQLite and PostgreSQL show the same', async () => {
  let committed = 0;
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 10, maxLength: 40 }), async (steps) => {
      const clock = () => new Date('2026-05-16T12:00:00.000Z');
      const sqlite = await openStore({ dataDir: ':memory:', clock });
      const postgres = await openStore({ dataDir: '', databaseUrl: await aDatabaseUrl(), clock });
      try {
        for (const one of steps) {
          const [here, there] = await Promise.all([outcome(one(sqlite)), outcome(one(postgres))]);
          expect(there).toEqual(here);
          if (here === 'committed') committed += 1;
        }
      } finally {
        await Promise.all([sqlite.close(), postgres.close()]);
      }
    }),
    { numRuns: RUNS },
  );
  expect(committed).toBeGreaterThan(RUNS);
});
