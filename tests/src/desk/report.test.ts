import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { caseSchema } from '#shared/case.ts';
import type { VisitBody } from '#shared/visit-record/entries.ts';
import { CARED_FOR, limits, rear, size, WELL_INSTALLED } from '#src/demo/family-parts.ts';
import { cellText, csvLines } from '#src/desk/report/export-files.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type OpenDesk, openDesk } from './open-desk.ts';

/** Reads comma-separated values by RFC 4180, on its own. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const character = text[i] as string;
    if (quoted && character === '"' && text[i + 1] === '"') cell += text[++i];
    else if (character === '"') quoted = !quoted;
    else if (quoted) cell += character;
    else if (character === ',' || character === '\n') {
      rows.at(-1)?.push(cell);
      cell = '';
      if (character === '\n') rows.push([]);
    } else if (character !== '\r') cell += character;
  }
  return rows.slice(0, -1);
}

/** What spreadsheets work out, or what hides it (OWASP, CSV Injection; the wide forms from memory). */
const HOSTILE = [
  '=HYPERLINK("http://elsewhere.example";"x")',
  '+1+cmd',
  '-2+3',
  '@SUM(A1)',
  '\t=1',
  '\r=1',
  '  =1',
  '\u202e=1',
  '\u200b=1',
  '\ufeff=1',
  '＝1',
  '"=1',
];

/** A family at which nothing is wrong but the tether left off. */
const TETHER_OFF = caseSchema.parse({
  asOf: '2026-05-16',
  jurisdiction: 'US-CA',
  children: [{ id: 'c1', ageMonths: 54, sex: 'male', bornBeforeWeek37: false, medicalNeeds: false, ...size(38, 41) }],
  seats: [
    {
      id: 's1',
      kind: 'forward-facing-harness',
      modes: { 'forward-facing': limits(22, 65, 49) },
      expiryDate: '2032-05',
      ...CARED_FOR,
    },
  ],
  vehicle: { modelYear: 2016, positions: [rear('left')] },
  uses: [
    {
      childId: 'c1',
      seatId: 's1',
      positionId: 'rear-left',
      mode: 'forward-facing',
      attachment: 'seat-belt',
      beltPath: 'forward-facing',
      tether: 'not-attached',
      ...WELL_INSTALLED,
    },
  ],
});
const ONLY_TETHER = { case: TETHER_OFF, assessment: assess(TETHER_OFF) };

async function aFamily(desk: OpenDesk, number: number, event: string, name = 'Wren'): Promise<void> {
  const summary = aSummary({
    reference: `R${number}`,
    event,
    createdAt: `2026-05-${10 + (number % 10)}T12:00:00.000Z`,
  });
  summary.case.children[0] = { ...summary.case.children[0], id: 'c1', name };
  const conversationId = `k${number}`;
  await desk.store.conversations.commit(aTurn({ conversationId, eventId: event, summary }));
}

async function withFamilies() {
  const desk = await openDesk();
  for (const id of ['spring', 'autumn'])
    await desk.store.events.add({ id, name: id, place: 'Yard', timeZone: 'UTC', heldOn: '2026-05-20' });
  for (let i = 0; i < 12; i++) await aFamily(desk, i, i < 8 ? 'spring' : 'autumn', HOSTILE[i]);
  return { desk, lead: await desk.signedIn() };
}

const figure = (html: string, words: string) => new RegExp(`${words}</th><td class="number">([^<]+)`).exec(html)?.[1];

describe('a report', () => {
  it('counts an event or a span of days, in charts and the same numbers in tables', async () => {
    const { lead } = await withFamilies();
    const all = (await lead.get('/desk/reports')).html;
    expect(figure(all, 'Families')).toBe('12');
    expect(all).toContain('<svg class="bars" role="img"');
    expect(all).toContain('>12 / 12</text>');
    expect(all).toContain('100% (12 / 12)');
    expect(figure((await lead.get('/desk/reports?event=spring')).html, 'Families')).toBe('8');
    expect(figure((await lead.get('/desk/reports?from=2026-05-11&to=2026-05-12')).html, 'Families')).toBe('3');
    expect(figure((await lead.get('/desk/reports?event=%00&from=2026-13-40')).html, 'Families')).toBe('12');
    const none = (await lead.get('/desk/reports?event=none')).html;
    expect(none).toContain('Too few to tell');
    expect(figure(none, 'Corrected at the visit, of all that was found there')).toBe('nothing yet');
  });

  it('counts what signed visits found, corrected and did not find, and counts anew what is added later', async () => {
    const { desk, lead } = await withFamilies();
    let id = 0;
    const add = (family: number, body: VisitBody) =>
      desk.store.visits.add(`V${family}`, {
        id: `e${++id}`,
        at: desk.clock.now.toISOString(),
        accountId: 'a',
        by: 'Robin',
        body,
      });
    const tether = (stage: 'found' | 'left') =>
      ({ kind: 'fact', stage, path: 'uses.c1.tether', value: 'attached', how: 'seen' }) as const;
    expect(ONLY_TETHER.assessment.findings.map(({ code }) => code)).toEqual(['tether-not-used']);
    for (const family of [0, 1, 2, 3, 4]) {
      const summary = aSummary({ ...ONLY_TETHER, reference: `V${family}`, event: 'visits' });
      const conversationId = `v${family}`;
      await desk.store.conversations.commit(aTurn({ conversationId, eventId: 'visits', summary, state: 'sent' }));
    }
    const sign = { kind: 'sign-off', reported: ONLY_TETHER.case } as const;
    await add(0, tether('left'));
    await add(1, tether('found'));
    await add(2, { kind: 'note', text: 'came without the seat' });
    await add(3, tether('left'));
    for (const family of [0, 1, 2]) await add(family, sign);
    const figures = async () => {
      const { html } = await lead.get('/desk/reports?event=visits');
      return [
        'Visits with a record',
        'Signed records',
        'Corrected at the visit, of all that was found there',
        'Children for whom nothing to correct was found at the visit',
        'Expected from the report, but not found at the visit',
      ].map((name) => figure(html, name));
    };
    expect(await figures()).toEqual(['4', '3', '1 / 2', '1 / 3', '1 / 3']);
    expect(await figures()).toEqual(['4', '3', '1 / 2', '1 / 3', '1 / 3']);
    await add(3, sign);
    expect(await figures()).toEqual(['4', '4', '2 / 3', '1 / 4', '1 / 4']);
  });

  it('shows and exports to somebody of one event that event only', async () => {
    const { desk } = await withFamilies();
    const technician = await desk.as('technician', ['autumn']);
    const { html } = await technician.get('/desk/reports');
    expect([figure(html, 'Families'), html.includes('>spring<')]).toEqual(['4', false]);
    expect(figure((await technician.get('/desk/reports?event=spring')).html, 'Families')).toBe('0');
    expect(html).not.toContain('/desk/reports/names');
    expect((await technician.get('/desk/reports/export.json?event=spring')).html).toContain('"families":0');
  });
});

describe('an export', () => {
  it('without names holds none, and says how many were left out', async () => {
    const { desk, lead } = await withFamilies();
    const csv = await lead.get('/desk/reports/export.csv');
    expect(csv.headers.get('content-disposition')).toBe('attachment; filename="lapwing-report.csv"');
    const rows = readCsv(csv.html.replace('\ufeff', ''));
    expect(rows).toHaveLength(13);
    expect(rows[1]).toEqual(['en', '2-3', 'forward-facing', 'rear-facing', 'convertible', 'tether-not-used']);
    const json = await lead.get('/desk/reports/export.json');
    expect(JSON.parse(json.html)).toMatchObject({ leftOut: 0, report: { families: 12 } });
    for (const text of [csv.html, json.html]) expect(text).not.toMatch(/HYPERLINK|R\d|2026|spring|weigh/);
    const actions = (await desk.store.audit.list({ pageSize: 9 })).rows.map(({ action }) => action);
    expect(actions.filter((action) => action === 'exported')).toHaveLength(2);
  });

  it('with names is for coordinators who say that they need them, and is written down', async () => {
    const { desk, lead } = await withFamilies();
    const token = /name="token" value="([^"]+)"/.exec((await lead.get('/desk/reports')).html)?.[1] ?? '';
    const unsaid = await lead.post('/desk/reports/names', { token, form: 'csv' });
    expect([unsaid.status, unsaid.html.includes('Nothing was exported')]).toEqual([422, true]);
    const form = { token, names: 'yes', event: 'spring' };
    const rows = readCsv((await lead.post('/desk/reports/names', { ...form, form: 'csv' })).html.replace('\ufeff', ''));
    expect(rows).toHaveLength(9);
    expect(rows[0]?.slice(0, 5)).toEqual(['reference', 'first_sent', 'event', 'language', 'child']);
    const json = JSON.parse((await lead.post('/desk/reports/names', { ...form, form: 'json' })).html);
    expect(json[0]).toMatchObject({ reference: 'R0', child: HOSTILE[0], minutes: 34 });
    const written = await desk.store.audit.list({ pageSize: 9, filter: { action: 'exported-with-names' } });
    expect(written.rows.map(({ subject }) => subject)).toEqual(['spring', 'spring']);
    expect((await (await desk.as('technician')).post('/desk/reports/names', form)).status).toBe(403);
  });

  it('holds no cell that a spreadsheet works out, whatever families type', async () => {
    const { lead } = await withFamilies();
    const token = /name="token" value="([^"]+)"/.exec((await lead.get('/desk/reports')).html)?.[1] ?? '';
    const { html } = await lead.post('/desk/reports/names', { token, names: 'yes', form: 'csv' });
    const cells = readCsv(html.replace('\ufeff', '')).flat();
    expect(cells.filter((cell) => /^\s*[=+\-@＝＋－＠\t\r]/u.test(cell))).toEqual([]);
    expect(cells.some((cell) => cell.startsWith("'=HYPERLINK"))).toBe(true);
    expect(/[\u0000-\u0008\u202a-\u202e\u2066-\u2069\u200b]/.test(html)).toBe(false);
    expect(readCsv(csvLines([['a"b,c\r\nd', -1, null]]))).toEqual([['a"b,c d', '-1', '']]);
    expect(cellText('ñ 汉 👶')).toBe('ñ 汉 👶');
  });
});
