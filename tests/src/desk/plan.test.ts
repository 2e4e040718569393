import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { Case } from '#shared/case.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { aFamily, place, REAR_BENCH } from '../../shared/arranging/families.ts';
import { openDesk } from './open-desk.ts';

const THREE: Case = aFamily(
  [
    { child: 'baby', seat: 'infant', at: 'p1R', mode: 'rear-facing' },
    { child: 'four', seat: 'harness', at: 'p2L', mode: 'forward-facing' },
    { child: 'seven', seat: 'booster', at: 'p2R', mode: 'booster' },
  ],
  [place('p1R'), place('p2L'), place('p2R')],
);
const named = (family: Case): Case => ({
  ...family,
  children: family.children.map((child, i) => ({ ...child, name: ['Wren', 'Ash', '<b>Sol</b>'][i] ?? null })),
});

async function withFamily(family: Case) {
  const desk = await openDesk();
  const summary = aSummary({ reference: 'PLAN-2345', case: named(family), assessment: assess(family) });
  await desk.store.conversations.commit(aTurn({ summary }));
  const browser = await desk.signedIn();
  return { desk, browser, path: '/desk/cases/PLAN-2345/plan' };
}

const tables = (html: string): string[] =>
  [...html.matchAll(/<tbody>[\s\S]*?<\/tbody>/g)].map(([body]) => body.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' '));

describe('the seating plans of a case', () => {
  it('show today, and plans that keep the baby from the active air bag, the best first', async () => {
    const { browser, path } = await withFamily(THREE);
    const { status, html } = await browser.get(path);
    expect(status).toBe(200);
    expect(html).toContain('today-title');
    expect(tables(html)).toHaveLength(4);
    for (const body of tables(html)) expect(body).not.toMatch(/Wren row 1/);
    // The middle of the second row was not described; it is offered, and the plan says so.
    expect(tables(html)[0]).toMatch(/● Wren row 2, center \(not described\)/);
    expect(html).toContain('Uses a place nobody has described');
  });

  it('hold a child to the place that the address names, and go on with it', async () => {
    const { browser, path } = await withFamily(THREE);
    const { html } = await browser.get(`${path}?at-0=p2L&at-1=&at-2=`);
    for (const body of tables(html)) expect(body).toMatch(/Wren row 2, left/);
    expect(html).toContain('<option value="p2L" selected>');
    const more = /href="([^"]*show=more)"/.exec(html)?.[1];
    if (more) expect(more).toContain('at-0=p2L');
  });

  it('say what would help where nothing works', async () => {
    const { browser, path } = await withFamily(THREE);
    const { html } = await browser.get(`${path}?at-0=p1R`);
    expect(html).toContain('No plan is possible');
    expect(html).toContain('the front air bag switched off, where the manuals allow');
    expect(tables(html)).toEqual([]);
  });

  it('take no name for markup, and no place that the vehicle has not', async () => {
    const { browser, path } = await withFamily(THREE);
    const { html } = await browser.get(`${path}?at-0=%3Cscript%3E`);
    expect(html).not.toMatch(/<b>Sol|<script>/);
    expect(tables(html)).toHaveLength(4);
  });

  it('are offered on the page of a case with several children only', async () => {
    const { browser } = await withFamily(THREE);
    expect((await browser.get('/desk/cases/PLAN-2345')).html).toContain('/desk/cases/PLAN-2345/plan');
    const one = await withFamily(aFamily([{ child: 'baby', seat: 'infant', at: 'p2L' }], REAR_BENCH));
    expect((await one.browser.get('/desk/cases/PLAN-2345')).html).not.toContain('/plan"');
  });

  it('are written down as looked at, and a case that is gone has none', async () => {
    const { desk, browser, path } = await withFamily(THREE);
    await browser.get(path);
    const written = await desk.store.audit.of('PLAN-2345');
    expect(written.map(({ action }) => action)).toContain('case-viewed');
    expect((await browser.get('/desk/cases/NONE-2345/plan')).status).toBe(410);
  });
});
