import { randomUUID } from 'node:crypto';
import { assess } from '#shared/assess.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { foldVisit } from '#shared/visit-record/fold.ts';
import { newToken, tokenHash } from '#src/desk/secrets.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { FAMILY } from '../../shared/visit-record/entries.ts';
import { NAME, type OpenDesk, openDesk } from './open-desk.ts';

export const CASE_PATH = '/desk/cases/KV7-2QM';
export const RECORD_PATH = `${CASE_PATH}/visit`;

/** A browser that is signed in, without the work of a password. */
async function withSession({ store, browse }: OpenDesk) {
  await store.accounts.keepFirstLink('link', 1000);
  const made = await store.accounts.addFirst('link', { name: NAME, role: 'coordinator', passwordHash: 'none' });
  if (made === 'refused') throw new Error('the link is open');
  const session = newToken();
  await store.sessions.add(tokenHash(session), made.id, 1_000_000);
  const browser = browse();
  browser.cookies.set('lapwing_desk', session);
  return browser;
}

/** A family at the kerb and a technician with the record of its visit open. */
export async function aVisit({
  signIn = false,
  over = {},
}: {
  readonly signIn?: boolean;
  readonly over?: Partial<PreVisitSummary>;
} = {}) {
  const desk = await openDesk();
  const summary = aSummary({ case: FAMILY, assessment: assess(FAMILY), ...over });
  await desk.store.conversations.commit(aTurn({ summary, state: 'sent', language: summary.language }));
  const browser = signIn ? await desk.signedIn() : await withSession(desk);
  const { html } = await browser.get(RECORD_PATH);
  const token = /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
  const post = (fields: Record<string, string>) => browser.post(RECORD_PATH, { token, id: randomUUID(), ...fields });
  const record = async () => foldVisit(await desk.store.visits.of('KV7-2QM'));
  return { desk, browser, token, post, record };
}

/** The family deletes its data. */
export const deletion = aTurn({
  expectedVersion: 1,
  state: 'deleted',
  snapshot: null,
  incoming: { activityId: 'a2', text: 'delete' },
  replyId: 'r2',
  summary: null,
});
