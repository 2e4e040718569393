import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { createWords } from '#src/words/words.ts';
import { FAMILY, THREE } from '../../shared/visit-record/entries.ts';
import { aVisit, CASE_PATH, deletion } from './a-visit.ts';

const SHEET = `${CASE_PATH}/take-home`;
const words = createWords();
const textOf = (html: string) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');

async function signedVisit(language = 'en', family = FAMILY) {
  const visit = await aVisit({ over: { language, case: family, assessment: assess(family) } });
  const fact = (path: string, value: string, stage = 'left', unit = '') =>
    visit.post({ does: 'fact', stage, path, value, unit });
  await fact('uses.c1.mode', 'rear-facing');
  await fact('uses.c1.attachment', 'lower-anchors');
  await fact('uses.c1.harness.pinchable', 'false');
  await fact('children.c1.weightKg', '27.1', 'found', 'lb');
  await fact('seats.s1.expiryDate', '2031-06', 'found');
  await visit.post({ does: 'sign-off' });
  const send = () => visit.browser.send(SHEET, {});
  const linkSent = async () => {
    const said = await visit.desk.store.conversations.thread('k1', 0);
    return /\/take-home\/[\w-]+/.exec(said.findLast(({ from }) => from === 'technician')?.text ?? '')?.[0] ?? '';
  };
  return { ...visit, send, linkSent };
}

describe('the sheet that goes home', () => {
  it('says how the child rides, until when, what was changed and what to do, in plain words', async () => {
    const { browser } = await signedVisit();
    const text = textOf((await browser.get(SHEET)).html);
    expect(text).toContain('Wren rides like this: rear-facing, in a seat with a harness.');
    expect(text).toContain('The seat is held by: Lower anchors.');
    expect(text).toContain('Weight: 40 lb (18.1 kg)');
    expect(text).toContain('Height: 43 in (109.2 cm)');
    expect(text).toMatch(/between \w+ 20\d\d and \w+ 20\d\d/);
    expect(text).toContain('Do not use this seat after June 30, 2031.');
    expect(text).toContain('Harness too loose');
    expect(text).toContain('1-888-327-4236');
  });

  it.each(words.languages)('stands whole in %s, calls no seat safe and shows no mark', async (language) => {
    const { browser } = await signedVisit(language);
    const { status, html } = await browser.get(SHEET);
    expect(status).toBe(200);
    expect(html).toContain(`lang="${language}" dir="${language === 'ar' ? 'rtl' : 'ltr'}"`);
    const say = words.say(language, 'take-home');
    for (const key of ['now.heading', 'until.heading', 'corrected.heading', 'monthly.heading', 'maker.register'])
      expect(html).toContain(say(key).replaceAll("'", '&#39;'));
    for (const key of ['manuals', 'never', 'emergency', 'special'])
      expect(html).toContain(say(`caution.${key}`).replaceAll("'", '&#39;'));
    expect(html).not.toMatch(/\u25a1|\{\{|[\u2066-\u2069]/);
    expect(textOf(html)).not.toMatch(/\bis (?:now )?safe\b/i);
  });

  it.each(words.languages)(
    'draws in %s who sits where, with all of it in words beside the drawing',
    async (language) => {
      const { browser } = await signedVisit(language, THREE);
      const { html } = await browser.get(SHEET);
      const say = words.say(language, 'take-home');
      const drawings = html.match(/<figure class="map seating">.*?<\/figure>/gs) ?? [];
      expect(drawings).toHaveLength(3);
      const [told = ''] = /(?<=<desc id="plan-0-desc">)[^<]*/.exec(drawings[0] ?? '') ?? [];
      const place = words.say(language, 'chat')('choice.position.p2L').replaceAll("'", '&#39;');
      expect(told).toContain(`Sorrel, ${place}, ${say('drawn.booster')}`);
      expect(told).toContain('Wren');
      expect(textOf(drawings[0] ?? '')).toContain(say('drawn.rear-facing'));
      expect(drawings[0]).toContain(words.say(language, 'page')('driver'));
      const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
      expect(new Set(ids).size).toBe(ids.length);
    },
  );

  it('draws no car where nobody knows who sat where', async () => {
    const { browser } = await signedVisit('en', { ...FAMILY, uses: [{ childId: 'c1', mode: 'rear-facing' }] });
    expect((await browser.get(SHEET)).html).not.toContain('class="map seating"');
  });

  it('of a seat that has expired already says to ride in the best there is until there is another', async () => {
    const { browser, post } = await signedVisit();
    await post({
      does: 'fact',
      stage: 'left',
      path: 'seats.s1.expiryDate',
      value: '2020-01',
      unit: '',
      why: 'mistake',
    });
    const text = textOf((await browser.get(SHEET)).html);
    expect(text).toContain('Seat has expired');
    expect(text).not.toContain('Do not use this seat after');
    expect(text).toContain('Keep your child buckled in the best seat you have until then.');
  });

  it('names no US hotline where the family lives elsewhere', async () => {
    const { browser } = await signedVisit('fr', { ...FAMILY, jurisdiction: 'FR' });
    expect((await browser.get(SHEET)).html).not.toContain('1-888');
  });

  it('says of a record that is not signed that it is not, and cannot be sent', async () => {
    const { desk, browser, token } = await aVisit();
    const page = await browser.get(SHEET);
    expect(page.html).toContain('Not signed yet');
    expect(page.html).not.toContain('Send the link');
    await browser.post(SHEET, { token });
    expect((await desk.store.conversations.thread('k1', 0)).some(({ from }) => from === 'technician')).toBe(false);
  });

  it('shows hostile names as text', async () => {
    const name = `<img src=x onerror=alert(1)>\u202E\u2069\u2066`;
    const child = { ...FAMILY.children[0], id: 'c1', name };
    const { browser, send, linkSent, desk } = await signedVisit('ar', { ...FAMILY, children: [child] });
    await send();
    for (const html of [(await browser.get(SHEET)).html, await (await fetch(desk.url + (await linkSent()))).text()]) {
      expect(html).toContain('&lt;img');
      expect(html).not.toMatch(/<img|\u202E|[\u2066-\u2069]/);
    }
  });
});

describe('the private link', () => {
  it('goes into the conversation once, in its language, and the bot keeps the conversation', async () => {
    const { desk, send } = await signedVisit('es');
    expect((await send()).headers.get('location')).toBe(`${SHEET}?sent=yes`);
    await send();
    const said = (await desk.store.conversations.thread('k1', 0)).filter(({ from }) => from === 'technician');
    expect(said).toHaveLength(1);
    expect(said[0]?.text).toContain('Aquí está la hoja');
    expect((await desk.store.conversations.load('k1'))?.state).toBe('sent');
  });

  it('opens the sheet for whoever has it, to be kept by nobody and found by no search', async () => {
    const { desk, send, linkSent } = await signedVisit();
    await send();
    const page = await fetch(desk.url + (await linkSent()));
    expect(page.status).toBe(200);
    expect(page.headers.get('cache-control')).toBe('no-store');
    expect(page.headers.get('x-robots-tag')).toBe('noindex');
    expect(page.headers.get('referrer-policy')).toBe('no-referrer');
    const html = await page.text();
    expect(html).toContain('Wren');
    expect(html).toContain('<meta name="robots" content="noindex">');
    expect(html).not.toMatch(/\/desk(?!\/assets)|<form|Robin/);
  });

  it('is not opened by one character changed, nor before it was sent', async () => {
    const { desk, send, linkSent } = await signedVisit();
    await send();
    const link = await linkSent();
    const other = link.at(-1) === 'A' ? 'E' : 'A';
    expect((await fetch(`${desk.url}${link.slice(0, -1)}${other}`)).status).toBe(404);
    expect((await fetch(`${desk.url}/take-home/${'A'.repeat(43)}`)).status).toBe(404);
    expect((await fetch(`${desk.url}/take-home/k1`)).status).toBe(404);
  });

  it('ends when the family deletes its data', async () => {
    const { desk, send, linkSent } = await signedVisit();
    await send();
    const link = await linkSent();
    await desk.store.conversations.commit(deletion);
    const page = await fetch(desk.url + link);
    expect(page.status).toBe(404);
    expect(await page.text()).not.toContain('Wren');
  });

  it('is the same for a family and another for each', async () => {
    const { takeHomeLinks } = await import('#src/desk/take-home/link.ts');
    const links = takeHomeLinks('k'.repeat(40));
    expect(links.tokenOf('k1')).toBe(links.tokenOf('k1'));
    expect(links.tokenOf('k1')).not.toBe(links.tokenOf('k2'));
    expect(links.tokenOf('k1')).not.toBe(takeHomeLinks('n'.repeat(40)).tokenOf('k1'));
    expect(links.tokenOf('k1')).toMatch(/^[\w-]{43}$/);
  });
});
