import { expect, it } from 'vitest';
import en from '#locales/en/desk.json' with { type: 'json' };
import { AUDIT_ACTIONS } from '#src/store/audit.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

const rows = (html: string) => html.split('<tbody>')[1]?.split('</tr>').slice(0, -1) ?? [];

it('tells coordinators who did what, when and about which case, and that they looked', async () => {
  const desk = await openDesk();
  await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
  const lead = await desk.signedIn();
  const technician = await desk.as('technician');
  desk.clock.now = new Date(desk.clock.now.getTime() + 1000);
  await technician.get('/desk/cases/KV7-2QM');
  desk.clock.now = new Date(desk.clock.now.getTime() + 1000);
  await technician.get('/desk/cases/KV7-2QM/print');
  const { html } = await lead.get('/desk/usage');
  const shown = rows(html);
  expect(shown[0]).toMatch(/May 16, 2026.*technician 1.*case printed.*\/desk\/cases\/KV7-2QM/s);
  expect(shown[1]).toContain('case looked at');
  desk.clock.now = new Date(desk.clock.now.getTime() + 1000);
  await lead.get('/desk/usage');
  expect((await lead.get('/desk/usage')).html).toContain('this record looked at');
  expect((await technician.get('/desk/usage')).status).toBe(403);
});

it('is filtered by person, deed, case and day, and passes over what is strange', async () => {
  const desk = await openDesk();
  const lead = await desk.signedIn();
  const note = (accountId: string, day: string) => {
    desk.clock.now = new Date(`${day}T23:59:59.999Z`);
    return desk.store.audit.note({ accountId, action: 'case-viewed', subject: `R-${day}` });
  };
  for (const day of ['2026-05-17', '2026-05-18', '2026-05-19']) await note('p1', day);
  desk.clock.now = new Date('2026-05-16T12:30:00.000Z');
  const count = async (query: string) => rows((await lead.get(`/desk/usage?${query}`)).html).length;
  expect(await count('what=case-viewed')).toBe(3);
  expect(await count('what=case-viewed&from=2026-05-18')).toBe(2);
  expect(await count('what=case-viewed&from=2026-05-17&to=2026-05-18')).toBe(2);
  expect(await count('subject=R-2026-05-18')).toBe(1);
  expect(await count('who=p1')).toBe(3);
  expect(await count('who=nobody')).toBe(0);
  expect(await count('what=__proto__&from=2026-99-99&after=%00~x')).toBeGreaterThan(3);
});

it('goes through many rows page by page, each row once', async () => {
  const desk = await openDesk();
  const lead = await desk.signedIn();
  for (let i = 0; i < 120; i++)
    await desk.store.audit.note({ accountId: null, action: 'case-viewed', subject: `R${1000 + i}` });
  const seen: string[] = [];
  let path: string | undefined = '/desk/usage?what=case-viewed';
  while (path) {
    const { html }: { html: string } = await lead.get(path);
    seen.push(...rows(html).map((row) => /R1\d{3}/.exec(row)?.[0] ?? ''));
    path = /rel="next" href="([^"]+)"/.exec(html)?.[1]?.replaceAll('&amp;', '&');
  }
  expect([seen.length, new Set(seen).size]).toEqual([120, 120]);
});

it('has words for everything that is written down', () => {
  expect(AUDIT_ACTIONS.filter((action) => !(action in en.auditAction))).toEqual([]);
});
