import { expect, it } from 'vitest';
import type { Ride } from '#shared/report/figures.ts';
import { type ReportedFamily, reportOf } from '#shared/report/report.ts';

const ride = (childId: string, mode: Ride['mode'], findings: Ride['findings'] = []): Ride => ({
  childId,
  seatId: `seat of ${childId}`,
  age: '2-3',
  mode,
  advised: 'rear-facing',
  kind: 'convertible',
  findings,
});

const family = (language: string, rides: Ride[], visit: ReportedFamily['visit'] = null): ReportedFamily => ({
  family: `of ${rides[0]?.childId}`,
  language,
  rides,
  visit,
});

it('counts what was reported and what was found, each share beside its whole', () => {
  const seen = (childId: string | null, seatId: string | null, verdict: 'confirmed' | 'not-found' | 'corrected') => ({
    code: 'harness-loose',
    childId,
    seatId,
    verdict,
  });
  const report = reportOf([
    family('en', [ride('a', 'rear-facing'), ride('b', 'booster', ['booster-too-soon', 'seat-expired'])], {
      signed: true,
      seen: [seen('b', null, 'corrected'), seen('b', null, 'confirmed'), seen('a', null, 'not-found')],
    }),
    family('es', [ride('c', 'forward-facing', ['seat-expired'])], {
      signed: true,
      seen: [seen(null, 'seat of c', 'corrected')],
    }),
    family('es', [ride('d', null)], { signed: false, seen: [seen('d', null, 'corrected')] }),
  ]);
  expect(report).toMatchObject({
    families: 3,
    children: 4,
    reportedRight: { part: 2, whole: 4 },
    visits: 3,
    signed: 2,
    foundRight: { part: 1, whole: 3 },
    corrected: { part: 2, whole: 3 },
    notFound: { part: 1, whole: 4 },
  });
  expect(report.findings.map(({ name, part, whole }) => [name, part, whole])).toEqual([
    ['seat-expired', 2, 4],
    ['booster-too-soon', 1, 4],
  ]);
});

it('counts a family with two cars once, and looks at how each child rides in either', () => {
  const car = (mode: Ride['mode']) => family('en', [ride('a', mode)]);
  expect(reportOf([car('rear-facing'), car('forward-facing')])).toMatchObject({ families: 1, children: 2 });
});

it('puts groups of fewer than five together, and leaves them out where they are too few even so', () => {
  const many = (language: string, count: number) =>
    Array.from({ length: count }, (_, i) => family(language, [ride('x', 'booster', i === 0 ? ['seat-expired'] : [])]));
  expect(reportOf([...many('en', 6), ...many('so', 3), ...many('ht', 2)]).byLanguage).toEqual([
    { name: 'en', part: 5, whole: 6 },
    { name: 'other', part: 3, whole: 5 },
  ]);
  expect(reportOf([...many('en', 6), ...many('so', 4)]).byLanguage).toEqual([{ name: 'en', part: 5, whole: 6 }]);
  expect(reportOf([])).toMatchObject({ families: 0, byMode: [], corrected: { part: 0, whole: 0 } });
});
