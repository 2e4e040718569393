import { randomUUID } from 'node:crypto';
import { expect, it } from 'vitest';
import { forecastLimit } from '#shared/growth/forecast.ts';
import { exactly } from '#shared/interval.ts';
import { inToCm } from '#shared/units.ts';
import { createEars } from '#src/locales/ears.ts';
import { createRemind } from '#src/turns/reminding.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { openDesk } from './open-desk.ts';

const words = createWords();
const ALWAYS = '2099-01-01T00:00:00.000Z';

const ANSWERS: Readonly<Record<string, string>> = {
  consent: 'yes',
  'child-count': '1',
  'child-name': 'Wren',
  age: '2025-08-10',
  weight: '20 lb',
  height: '28 in',
  sex: 'male',
  'care-needs': 'none',
  'riding-mode': 'rear-facing',
  'seat-kind': 'rear-facing-only',
  'label-limits': '4-30 lb, up to 32 in',
  'seat-dates': 'made 2024-06, expires 2027-03',
  confirm: 'yes',
  review: 'yes',
};

/** A family that was interviewed by the real conversation, over the store that the desk reads. */
async function interviewed() {
  const desk = await openDesk();
  let ids = 0;
  const turns = createTurns({
    conversations: desk.store.conversations,
    cases: desk.store.cases,
    voice: createVoice(words),
    ears: createEars(),
    clock: () => desk.clock.now,
    newReference: () => `REF-${++ids}`,
    newId: () => `id-${++ids}`,
    remind: createRemind(words),
  });
  const opening = { conversationId: 'k1', channel: 'direct-line', language: 'en' } as const;
  let { reply } = await turns.open(opening);
  const say = async (text: string) => {
    ({ reply } = await turns.handle({ ...opening, activityId: `a${++ids}`, text }));
  };
  for (let turn = 0; turn < 60 && !reply.done; turn++) {
    const choices = reply.choices.map(({ id }) => id);
    const plain = choices.find((id) => id === 'none' || id === 'unsure') ?? choices[0] ?? 'unsure';
    await say(ANSWERS[reply.asking ?? ''] ?? plain);
  }
  expect(reply.done).toBe(true);
  const reference = (await desk.store.cases.referencesOf('k1'))[0] ?? '';
  const found = await desk.store.cases.byReference(reference);
  if (found.state !== 'found') throw new Error('the summary is there');
  const waiting = async () =>
    (await desk.store.outbox.due(ALWAYS, 50))
      .filter(({ idempotencyKey }) => idempotencyKey.includes(':reminder:'))
      .map(({ destination, dueAt }) => [destination, dueAt]);
  return { desk, say, reference, summary: found.summary, waiting };
}

/** The day a month before another one, on the first. */
const monthBefore = (yearMonth: string): string => {
  const [year, month] = yearMonth.split('-').map(Number) as [number, number];
  return new Date(Date.UTC(year, month - 2, 1)).toISOString().slice(0, 10);
};

it('what a family told is reminded of from the outbox on the days of the forecast, from the sign-off too, until it deletes its data', async () => {
  const { desk, say, reference, summary, waiting } = await interviewed();
  const [child] = summary.assessment.children;
  const reached = (child?.forecast ?? []).flatMap(({ mode, earliest }) =>
    mode === 'rear-facing' && earliest ? [earliest] : [],
  );
  const earliest = reached.toSorted()[0] ?? '';
  expect(earliest).toMatch(/^202[67]-\d\d$/);
  // A month before the first limit may be reached, and three before the last day of the month of expiry.
  const expected = [
    ['caregiver', `${monthBefore(earliest)}T16:00:00.000Z`],
    ['caregiver', '2026-12-31T16:00:00.000Z'],
  ];
  expect((await waiting()).toSorted()).toEqual(expected.toSorted());

  const technician = await desk.signedIn();
  const record = `/desk/cases/${reference}/visit`;
  const { html } = await technician.get(record);
  const token = /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
  const post = (fields: Record<string, string>) => technician.post(record, { token, id: randomUUID(), ...fields });
  expect((await post({ does: 'reminders', value: 'yes' })).status).toBeLessThan(400);
  // Measured taller than told: the limit of the label comes sooner.
  await post({ does: 'fact', stage: 'found', path: 'children.c1.heightCm', value: '29.5', unit: 'in' });
  expect((await post({ does: 'sign-off' })).status).toBeLessThan(400);
  const taller = forecastLimit({
    measure: 'height',
    limit: inToCm(32),
    value: exactly(inToCm(29.5)),
    age: exactly(9),
    sex: 'male',
    asOf: '2026-05-16',
  });
  expect((taller.earliest ?? '') < earliest).toBe(true);
  expect((await waiting()).toSorted()).toEqual([
    ['caregiver', `${monthBefore(taller.earliest ?? '')}T16:00:00.000Z`],
    ['caregiver', '2026-12-31T16:00:00.000Z'],
  ]);

  await say('delete my data');
  await say('yes');
  expect(await waiting()).toEqual([]);
});
