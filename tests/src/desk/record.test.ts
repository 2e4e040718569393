import { randomUUID } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { lbToKg } from '#shared/units.ts';
import { history } from '#shared/visit-record/fold.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { DAY, FAMILY } from '../../shared/visit-record/entries.ts';
import { aVisit, deletion, RECORD_PATH } from './a-visit.ts';
import { NAME, PASSWORD } from './open-desk.ts';

const PATH = RECORD_PATH;

const weight = (value: string, unit = 'lb') => ({
  does: 'fact',
  stage: 'found',
  path: 'children.c1.weightKg',
  value,
  unit,
});
describe('the record of a visit', () => {
  it('takes a weight in pounds or kilograms and a height in inches or centimetres, and judges anew', async () => {
    const { post, browser, record } = await aVisit();
    expect((await post(weight('27.5'))).status).toBe(303);
    await post({ does: 'fact', stage: 'found', path: 'children.c1.heightCm', value: '34,5', unit: 'in' });
    const { found } = reviewVisit(FAMILY, (await record()).current, DAY);
    // 1959 yard and pound agreement: 27.5 lb and 34.5 in exactly.
    expect(found.case.children[0]).toMatchObject({ weightKg: 27.5 * 0.45359237, heightCm: 34.5 * 2.54 });
    const { html } = await browser.get(PATH);
    expect(html).toContain('27.5 lb (12.5 kg)');
    expect(html).toContain('by the scale');
    // The reported range stays visible.
    expect(html).toContain('24.3–28.7 lb');
    await post(weight('12.3', 'kg'));
    expect(reviewVisit(FAMILY, (await record()).current, DAY).found.case.children[0]?.weightKg).toBe(12.3);
  });

  it('asks to measure again where no child of the age has the size, and counts it once somebody confirms it', async () => {
    const { post, browser } = await aVisit();
    await post(weight('100'));
    expect((await browser.get(PATH)).html).toContain('no child of this age has this');
    await post({ does: 'fact', stage: 'found', path: 'children.c1.sizeConfirmed', value: 'true' });
    expect((await browser.get(PATH)).html).not.toContain('no child of this age has this');
  });

  it('refuses what is no number, no date, no choice, and a fact that is nobody’s, and says so', async () => {
    const { post, browser, desk } = await aVisit();
    for (const [fields, problem] of [
      [weight('heavy'), 'number'],
      [{ does: 'fact', stage: 'found', path: 'seats.s1.expiryDate', value: '2030-13' }, 'date'],
      [{ does: 'fact', stage: 'found', path: 'uses.c1.tether', value: 'perhaps' }, 'number'],
      [{ does: 'fact', stage: 'found', path: 'children.c9.weightKg', value: '9', unit: 'kg' }, 'impossible'],
      [{ does: 'fact', stage: 'found', path: 'children.c1.birthDate', value: '2031-01-01' }, 'impossible'],
      [{ does: 'fact', stage: 'found', path: 'children.c1.__proto__', value: '9' }, 'impossible'],
      [{ does: 'finding', finding: '["no-such-code",null,null,null]', value: 'confirmed' }, 'impossible'],
      [{ does: 'finding', finding: 'not json', value: 'confirmed' }, 'impossible'],
      [{ does: 'note', text: '   ' }, 'empty'],
      [{ does: 'nothing' }, 'impossible'],
    ] as const) {
      const answer = await post(fields);
      expect(answer.headers.get('location'), JSON.stringify(fields)).toBe(`${PATH}?problem=${problem}`);
      expect((await browser.get(`${PATH}?problem=${problem}`)).html).toContain('role="alert"');
    }
    expect(await desk.store.visits.of('KV7-2QM')).toEqual([]);
  });

  it('adds an entry once, however often its form is sent', async () => {
    const { post, desk } = await aVisit();
    const id = randomUUID();
    await post({ ...weight('27'), id });
    await post({ ...weight('28'), id });
    expect(await desk.store.visits.of('KV7-2QM')).toHaveLength(1);
  });

  it('keeps the entries of two people side by side, says who differs, and lets the later hold', async () => {
    const { post, record, desk, browser } = await aVisit();
    await post(weight('27'));
    const entry = { id: randomUUID(), at: '2026-05-16T12:00:01.000Z', accountId: 'a2', by: 'Sage' };
    const change = { kind: 'fact', stage: 'found', path: 'children.c1.weightKg', value: 12, how: 'scale' } as const;
    await desk.store.visits.add('KV7-2QM', { ...entry, body: change });
    const said = history((await record()).current, 'fact found children.c1.weightKg');
    expect(said.map(({ by }) => by)).toEqual([NAME, 'Sage']);
    const { html } = await browser.get(PATH);
    expect(html).toContain('Somebody else recorded something else');
    expect(html).toContain('27 lb (12.2 kg)');
  });

  it('goes by when an entry was written, whenever it arrives', async () => {
    const { post, record } = await aVisit();
    await post(weight('28'));
    await post({ ...weight('20'), ago: '600000' });
    expect(reviewVisit(FAMILY, (await record()).current, DAY).found.case.children[0]?.weightKg).toBe(lbToKg(28));
  });

  it('has the seat a child leaves in, whose label is then recorded', async () => {
    const { post, browser, record } = await aVisit();
    await post({ does: 'seat', child: 'c1', value: 'supplied', kind: 'convertible', description: 'blue' });
    const { left } = reviewVisit(FAMILY, (await record()).current, DAY);
    const given = left.case.uses[0]?.seatId ?? '';
    expect(left.case.seats).toEqual([{ id: given, kind: 'convertible', description: 'blue' }]);
    await post({ does: 'fact', stage: 'left', path: `seats.${given}.expiryDate`, value: '2034-05' });
    expect((await browser.get(PATH)).html).toContain('May 2034');
  });

  it('is frozen by the sign-off: nothing is added without a reason, and a correction stands beside what was signed', async () => {
    const { post, browser, record } = await aVisit();
    await post(weight('27'));
    await post({ does: 'sign-off' });
    const signed = (await record()).signed;
    expect(signed).toMatchObject({ by: NAME, reported: FAMILY });
    const closed = await browser.get(PATH);
    expect(closed.html).toContain(`Signed by ${NAME}`);
    expect(closed.html).not.toContain('name="does" value="fact"');
    expect((await post(weight('30'))).headers.get('location')).toBe(`${PATH}?problem=signed`);
    expect((await browser.get(`${PATH}?why=mistake`)).html).toContain('name="why" value="mistake"');
    await post({ ...weight('30'), why: 'mistake' });
    const after = await record();
    expect(after.signed).toEqual(signed);
    expect(after.corrections).toHaveLength(1);
    expect((await browser.get(PATH)).html).toContain('corrected: recorded by mistake');
  });

  it('keeps what the family told by the day of the sign-off, whatever it tells afterwards', async () => {
    const { post, desk, record } = await aVisit();
    await post({ does: 'sign-off' });
    const changed = { ...FAMILY, children: [{ id: 'c1', name: 'Wren', ageMonths: 60 }] };
    const later = aSummary({ case: changed, assessment: assess(changed) });
    const incoming = { activityId: 'a2', text: 'she is five' };
    await desk.store.conversations.commit(aTurn({ expectedVersion: 1, incoming, replyId: 'r2', summary: later }));
    expect((await record()).signed?.reported).toEqual(FAMILY);
  });

  it('writes down who looked, recorded and signed', async () => {
    const { post, desk } = await aVisit();
    await post(weight('27'));
    await post({ does: 'sign-off' });
    const actions = (await desk.store.audit.of('KV7-2QM')).map(({ action }) => action);
    expect(actions).toEqual(['visit-viewed', 'visit-recorded', 'visit-signed']);
  });
});

describe('an entry without a session', () => {
  const signIn = { name: NAME, password: PASSWORD };

  it('is kept through the sign-in, and saved afterwards with its text', async () => {
    const { desk, browser, token } = await aVisit({ signIn: true });
    desk.clock.now = new Date('2026-05-17T12:00:00.000Z');
    const text = 'Held the anchor <b>wrong</b>';
    const id = randomUUID();
    const sent = await browser.post(PATH, { token, id, does: 'note', text });
    const back = await browser.send(sent.headers.get('location') ?? '', signIn);
    const kept = back.headers.get('location') ?? '';
    expect(kept).toBe('/desk/kept');
    expect((await browser.get(kept)).html).toContain('Held the anchor &lt;b&gt;wrong&lt;/b&gt;');
    await browser.send(kept, { text });
    const entries = await desk.store.visits.of('KV7-2QM');
    expect(entries.map((entry) => [entry.id, entry.body])).toEqual([[id, { kind: 'note', text }]]);
  });

  it('is told apart for the script, which keeps it itself', async () => {
    const { desk } = await aVisit();
    const headers = { Accept: 'application/json' };
    const answer = await fetch(desk.url + PATH, { method: 'POST', headers, body: new URLSearchParams(weight('27')) });
    expect([answer.status, await answer.text()]).toEqual([401, '']);
  });

  it('of another site is refused', async () => {
    const { browser, desk } = await aVisit();
    expect((await browser.post(PATH, { ...weight('27'), token: 'x' })).status).toBe(403);
    expect(await desk.store.visits.of('KV7-2QM')).toEqual([]);
  });
});

describe('a family that deletes its data during the visit', () => {
  it('leaves a page that says so, and nothing of the record', async () => {
    const { desk, browser, post } = await aVisit();
    await post(weight('27'));
    await desk.store.conversations.commit(deletion);
    const page = await browser.get(PATH);
    expect(page.status).toBe(410);
    expect(page.html).toContain('deleted its data');
    const late = await post(weight('28'));
    expect(late.status).toBe(410);
    expect(await desk.store.visits.of('KV7-2QM')).toEqual([]);
  });

  it('is told to the script, which forgets what still waits', async () => {
    const { desk, browser, token } = await aVisit();
    await desk.store.conversations.commit(deletion);
    const cookie = [...browser.cookies].map(([name, value]: [string, string]) => `${name}=${value}`).join('; ');
    const headers = { Accept: 'application/json', cookie };
    const body = new URLSearchParams({ ...weight('27'), token });
    const answer = await fetch(desk.url + PATH, { method: 'POST', headers, body });
    expect([answer.status, await answer.json()]).toEqual([410, { state: 'gone' }]);
  });
});
