import { expect, it } from 'vitest';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { FAMILY } from '../../shared/visit-record/entries.ts';
import { aVisit, CASE_PATH, RECORD_PATH } from './a-visit.ts';

const SECOND = 'KV7-2QM-2';
const OTHER_PATH = `/desk/cases/${SECOND}`;

/** A family at the kerb with two cars, the second one's case sent after the first. */
async function twoCars() {
  const here = await aVisit();
  const first = aSummary({ case: FAMILY });
  const summary = { ...first, reference: SECOND, createdAt: '2026-05-17T08:00:00.000Z' };
  const incoming = { activityId: 'a2', text: 'the other car' };
  const second = { expectedVersion: 1, incoming, replyId: 'r2', state: 'sent' as const, summary, earlier: ['KV7-2QM'] };
  await here.desk.store.conversations.commit(aTurn(second));
  const write = (path: string, fields: Record<string, string>) =>
    here.browser.post(path, { token: here.token, ...fields });
  return { ...here, write };
}

it('a family with two cars has a page, a record and a sheet for each, which lead to one another and never mix', async () => {
  const { desk, browser, write } = await twoCars();
  expect((await browser.get(CASE_PATH)).html).toContain(`href="${OTHER_PATH}"`);
  expect((await browser.get(OTHER_PATH)).html).toContain(`href="${CASE_PATH}"`);
  expect((await browser.get(RECORD_PATH)).html).toContain(`href="${OTHER_PATH}/visit"`);

  await write(RECORD_PATH, { does: 'note', text: 'the blue one' });
  await write(`${OTHER_PATH}/visit`, { does: 'note', text: 'the red one' });
  await write(RECORD_PATH, { does: 'sign-off' });
  const [first, second] = [await browser.get(RECORD_PATH), await browser.get(`${OTHER_PATH}/visit`)];
  expect(first.html).toContain('the blue one');
  expect(first.html).not.toContain('the red one');
  expect(second.html).toContain('the red one');
  expect(second.html).not.toContain('the blue one');
  expect((await browser.get(`${OTHER_PATH}/take-home`)).html).toContain('Not signed yet');

  await write(`${OTHER_PATH}/visit`, { does: 'sign-off' });
  for (const path of [`${CASE_PATH}/take-home`, `${OTHER_PATH}/take-home`]) await write(path, {});
  const said = (await desk.store.conversations.thread('k1', 0)).filter(({ from }) => from === 'technician');
  const links = said.map(({ text }) => /\/take-home\/[\w-]+/.exec(text)?.[0] ?? '');
  expect(new Set(links).size).toBe(2);
  const sheets = await Promise.all(links.map(async (link) => (await fetch(desk.url + link)).text()));
  expect(sheets.map((html) => html.includes(SECOND))).toEqual([false, true]);
});
