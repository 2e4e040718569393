import { describe, expect, it, onTestFinished } from 'vitest';
import { assess } from '#shared/assess.ts';
import { seedDemo } from '#src/demo/seed.ts';
import { openStore } from '#src/store/open-store.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';

async function anEmptyStore(now: string) {
  const clock = () => new Date(now);
  const store = await openStore({ dataDir: ':memory:', clock });
  onTestFinished(() => store.close());
  return { store, clock };
}

describe('the demo event', () => {
  it('has families of every priority and several languages, and shows what the desk is for', async () => {
    const { store, clock } = await anEmptyStore('2026-05-16T12:00:00.000Z');
    expect(await seedDemo(store, { clock })).toBe(true);
    const { cases } = await store.cases.list({ pageSize: 50 });
    expect(cases.length).toBeGreaterThanOrEqual(6);
    expect(new Set(cases.map(({ priority }) => priority))).toEqual(new Set(['before-travel', 'early', 'routine']));
    expect(new Set(cases.map(({ language }) => language)).size).toBeGreaterThanOrEqual(5);
    expect(cases.some(({ complete }) => !complete)).toBe(true);
    expect(cases.some(({ person }) => person)).toBe(true);
    const found = await Promise.all(cases.map(({ reference }) => store.cases.byReference(reference)));
    const summaries = found.flatMap((one) => (one.state === 'found' ? [one.summary] : []));
    const codes = new Set(summaries.flatMap(({ assessment }) => assessment.findings.map(({ code }) => code)));
    for (const code of ['mode-not-offered', 'seat-expired', 'rear-facing-at-air-bag', 'tether-not-used'] as const)
      expect(codes).toContain(code);
    for (const summary of summaries) expect(summary.assessment).toEqual(assess(summary.case));
  });

  it.each(['2026-02-28T23:59:00.000Z', '2028-02-29T00:00:00.000Z', '2031-12-31T12:00:00.000Z'])(
    'is as urgent on %s as on any other day',
    async (now) => {
      const { store, clock } = await anEmptyStore(now);
      await seedDemo(store, { clock });
      const { cases } = await store.cases.list({ pageSize: 50 });
      const priorities = cases.map(({ reference, priority }) => `${reference} ${priority}`).toSorted();
      expect(priorities).toEqual([
        'DEMO-1 early',
        'DEMO-2 early',
        'DEMO-3 routine',
        'DEMO-4 routine',
        'DEMO-5 before-travel',
        'DEMO-6 before-travel',
        'DEMO-7 before-travel',
      ]);
    },
  );

  it('is not put beside what is there already', async () => {
    const { store, clock } = await anEmptyStore('2026-05-16T12:00:00.000Z');
    await store.conversations.commit(aTurn({ summary: aSummary() }));
    expect(await seedDemo(store, { clock })).toBe(false);
    expect((await store.cases.list({ pageSize: 50 })).total).toBe(1);
    const other = await anEmptyStore('2026-05-16T12:00:00.000Z');
    expect(await seedDemo(other.store, other)).toBe(true);
    expect(await seedDemo(other.store, other)).toBe(false);
  });
});
