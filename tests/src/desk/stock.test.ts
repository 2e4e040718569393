import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { type Case, caseSchema } from '#shared/case.ts';
import { CARED_FOR } from '#src/demo/family-parts.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type OpenDesk, openDesk } from './open-desk.ts';

const HOSTILE = '=HYPERLINK("http://elsewhere.example")<script>';

const family = (over: Partial<Case['seats'][number]>, needsInterpreter: boolean | null = null): Case =>
  caseSchema.parse({
    asOf: '2026-05-16',
    needsInterpreter,
    children: [{ id: 'c1', ageMonths: 9, sex: 'male', weightKg: 9, heightCm: 71 }],
    seats: [
      {
        id: 's1',
        description: HOSTILE,
        kind: 'rear-facing-only',
        modes: { 'rear-facing': { minWeightKg: 1.8, maxWeightKg: 15.9, maxHeightCm: 85 } },
        ...CARED_FOR,
        expiryDate: '2032-05',
        ...over,
      },
    ],
    uses: [{ childId: 'c1', seatId: 's1', mode: 'rear-facing', attachment: 'lower-anchors', recline: 'in-range' }],
  });

const arrive = (desk: OpenDesk, number: number, kase: Case, language = 'en', event = 'spring') =>
  desk.store.conversations.commit(
    aTurn({
      conversationId: `k${number}`,
      eventId: event,
      summary: aSummary({ reference: `R${number}`, event, language, case: kase, assessment: assess(kase) }),
    }),
  );

async function withFamilies() {
  const desk = await openDesk();
  for (const id of ['spring', 'autumn'])
    await desk.store.events.add({
      id,
      name: `<b>${id}</b>`,
      place: 'Yard',
      timeZone: 'UTC',
      heldOn: '2026-06-20',
      languages: ['en', 'es'],
    });
  await arrive(desk, 1, family({ expiryDate: '2026-06' }));
  await arrive(desk, 2, family({ expiryDate: '2026-05' }));
  await arrive(desk, 3, family({ expiryDate: '2026-05', registered: false }), 'vi');
  await arrive(desk, 4, family({ recall: 'open' }, true), 'vi');
  await arrive(desk, 5, family({ certified: false }), 'en', 'autumn');
  return desk;
}

const row = (html: string, head: string) =>
  [...(html.split(`<th scope="row">${head}</th>`)[1]?.split('</tr>')[0] ?? '').matchAll(/<td[^>]*>(.*?)<\/td>/gs)].map(
    ([, cell = '']) =>
      cell
        .replace(/<[^>]*>/g, ' ')
        .replace(/\s+/g, ' ')
        .trim(),
  );

describe('what to bring to an event', () => {
  it('counts its families alone, on its day, with reasons, and ranges where nothing says how often', async () => {
    const desk = await withFamilies();
    const lead = await desk.signedIn();
    const { status, html } = await lead.get('/desk/events/spring/stock');
    expect(status).toBe(200);
    const [expected, bring, why] = row(html, 'a convertible seat');
    expect([expected, bring]).toEqual(['2 to 3', '2 to 3']);
    expect(why).toContain('past its expiry: 2');
    expect(why).toMatch(/recall.*: 0 to 1/i);
    expect(row(html, 'Recall remedy')?.slice(0, 2)).toEqual(['1', '1']);
    expect(row(html, 'Registration form')?.slice(0, 2)).toEqual(['1', '1']);
    expect(row(html, 'Vietnamese')).toEqual(['1 to 2', expect.stringMatching(/^\d+ to \d+$/)]);
    expect(html).not.toContain('<script>');
    expect(html).not.toContain('<b>spring');
  });

  it('changes with a case, and says so where nobody needs anything', async () => {
    const desk = await withFamilies();
    const lead = await desk.signedIn();
    await lead.get('/desk/events/spring/stock');
    await arrive(desk, 6, family({ expiryDate: '2026-05' }));
    expect(row((await lead.get('/desk/events/spring/stock')).html, 'a convertible seat')?.[0]).toBe('3 to 4');
    await desk.store.events.add({ id: 'quiet', name: 'Quiet', place: 'Yard', timeZone: 'UTC', heldOn: '2026-06-20' });
    expect((await lead.get('/desk/events/quiet/stock')).html).toContain('Nothing, by what is known.');
  });

  it('goes out as a file in which nothing is a formula', async () => {
    const lead = await (await withFamilies()).signedIn();
    const { html: csv, headers } = await lead.get('/desk/events/spring/stock.csv');
    expect(headers.get('content-type')).toContain('text/csv');
    expect(headers.get('content-disposition')).toContain('lapwing-stock.csv');
    const lines = csv.split('\r\n');
    expect(lines[0]).toContain('"section","item","expected_low"');
    expect(lines).toContainEqual('"seats","rear-facing",2,3,2,3,,""');
    expect(lines.find((line) => line.startsWith('"manuals-seat"'))).toContain(`"'=HYPERLINK`);
  });

  it('is for coordinators, and of events that exist', async () => {
    const desk = await withFamilies();
    const lead = await desk.signedIn();
    expect((await lead.get('/desk/events/none/stock')).status).toBe(404);
    const technician = await desk.as('technician');
    for (const path of ['/desk/events/spring/stock', '/desk/events/spring/stock.csv'])
      expect((await technician.get(path)).status).toBe(403);
  });
});
