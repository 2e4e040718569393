import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import es from '#locales/es/take-home.json' with { type: 'json' };
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, PHONE } from './browser.ts';
import { type CaregiverOnPage, caregiverOnPage, type Doing } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';
import { familyAnswer } from './page-answers.ts';
import { picture } from './picture.ts';
import { presses } from './presses.ts';
import { readCode } from './read-code.ts';

const TABLET = { viewport: { width: 820, height: 1180 }, hasTouch: true };
const PASSWORD = 'a long password for tests';
const MOST_QUESTIONS = 40;
const REFERENCE = /\b[2-9A-Z]{4}-[2-9A-Z]{4}\b/;

const opened = openedService();

const dayFrom = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

/** What another family answers than the one of `page-answers.ts`: a child of four in the second row, forward-facing. */
const OTHER: Readonly<Record<string, Doing>> = {
  age: '4',
  weight: '17 kg',
  height: '104 cm',
  'riding-mode': { choose: ['forward-facing'] },
  'seat-kind': { choose: ['combination'] },
  'label-limits': '10-29 kg, 124 cm',
  position: { choose: ['p2R'] },
};

interface Family {
  readonly page: Page;
  readonly caregiver: CaregiverOnPage;
  readonly heard: readonly string[];
  answerAll(): Promise<void>;
  reference(): Promise<string>;
}

/** A phone, set to a language, that opens the address of a code. */
async function scanning(code: string, language: string, other: Readonly<Record<string, Doing>> = {}): Promise<Family> {
  const page = await (await opened.browser.newContext({ ...PHONE, locale: language })).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  const { pathname, search } = new URL(code);
  await page.goto(opened.service.url + pathname + search);
  await caregiver.begin();
  const answerTo = (reply: RenderedReply): Doing => {
    // The first time on offer.
    if (reply.asking === 'slot') return { choose: [reply.choices[0]?.id ?? ''] };
    return other[String(reply.asking)] ?? familyAnswer(reply);
  };
  const say = async (doing: Doing) => {
    await caregiver.answer(doing);
    if (caregiver.reply().told.length > 0 && language === 'es') await picture(page, 'chat');
  };
  return {
    page,
    caregiver,
    heard,
    async answerAll() {
      for (let turns = 0; !caregiver.reply().done && turns < MOST_QUESTIONS; turns++)
        await say(answerTo(caregiver.reply()));
      expect(caregiver.reply()).toMatchObject({ done: true, language });
    },
    reference: async () => REFERENCE.exec((await page.getByRole('log').textContent()) ?? '')?.[0] ?? 'none',
  };
}

async function choosePassword(page: Page): Promise<void> {
  for (const field of ['#password', '#again']) await page.locator(field).fill(PASSWORD);
  await page.locator('main button[type=submit]').click();
  await page.waitForURL(/\/desk$/);
}

it('an event day: three families in three languages, a technician at the kerb, a coordinator with the report', async () => {
  // Days before: the coordinator sets the desk up, makes the event and prints its poster.
  const lead = await (await opened.browser.newContext(DESKTOP)).newPage();
  const heardAtDesk = complaints(lead);
  await lead.goto(opened.service.firstRunLink ?? '');
  await lead.locator('#name').fill('Robin Ash');
  await choosePassword(lead);
  const leading = presses(lead);
  await leading.named('link', 'Events');
  await leading.named('link', 'New event');
  await lead.locator('#name').fill('Spring seat check');
  await lead.locator('#place').fill('Fire station yard, Marrow Creek');
  await lead.locator('#heldOn').fill(dayFrom(5));
  await lead.locator('#timeZone').fill('America/Los_Angeles');
  await leading.named('checkbox', 'Spanish');
  await leading.named('button', 'Make the event');
  await lead.waitForURL(/\/events\/spring-seat-check-/);
  const board = new URL(lead.url()).pathname;
  const eventId = board.split('/').at(-1) ?? '';
  expect(leading.count()).toBe(4);
  await leading.named('link', 'Poster');
  await leading.named('checkbox', 'Arabic');
  await leading.named('button', 'Show');
  expect(await axeProblems(lead)).toEqual([]);
  expect(leading.count()).toBe(3);
  await lead.emulateMedia({ media: 'print' });
  const code = (await readCode(lead)) ?? '';
  expect(code).toMatch(new RegExp(`^http://localhost:\\d+/\\?event=${eventId}$`));
  expect((await lead.pdf({ format: 'Letter' })).toString('latin1').match(/\/Type \/Page\b/g)).toHaveLength(1);
  expect(await lead.locator('.poster [lang=ar][dir=rtl]').count()).toBeGreaterThan(0);
  await lead.setViewportSize({ width: 740, height: 1000 });
  await picture(lead, 'poster', '.poster');
  await lead.setViewportSize(DESKTOP.viewport);
  await lead.emulateMedia({ media: null });

  // A technician is invited to this event.
  await lead.goto(`${opened.service.url}${board}`);
  await leading.named('link', 'People');
  await lead.locator('#name').fill('Sam Reed');
  await leading.press('input[name=which][value=some]');
  await leading.press(`input[name=event][value=${eventId}]`);
  await leading.named('button', 'Make a link');
  expect(leading.count()).toBe(4);
  const invitation = new URL(await lead.locator('#link').inputValue());
  const tablet = await (await opened.browser.newContext(TABLET)).newPage();
  const heardAtKerb = complaints(tablet);
  await tablet.goto(opened.service.url + invitation.pathname + invitation.search);
  await choosePassword(tablet);

  // Two families scan the poster at once, each with a phone in its language, answer and choose a time; the board follows.
  await lead.goto(`${opened.service.url}${board}`);
  const [baby, elder] = await Promise.all([scanning(code, 'es'), scanning(code, 'ar', OTHER)]);
  expect(await elder.page.evaluate(() => document.documentElement.dir)).toBe('rtl');
  await Promise.all([baby.answerAll(), elder.answerAll()]);
  expect(await baby.page.locator('.danger').count()).toBeGreaterThan(0);
  const [babyCase, elderCase] = await Promise.all([baby.reference(), elder.reference()]);
  const expected = lead.locator('section[aria-labelledby=expected]');
  for (const reference of [babyCase, elderCase]) await expected.getByRole('link', { name: reference }).waitFor();
  expect(await expected.textContent()).toMatch(/9:00\sAM/);

  // A third comes by chance: the technician adds it, and it scans the code from the tablet.
  const welcoming = presses(tablet);
  await welcoming.named('link', 'Events');
  await welcoming.named('link', 'Spring seat check');
  await welcoming.press('.walk-in summary');
  await tablet.locator('#who').fill('blue van');
  await welcoming.named('button', 'Add');
  await tablet.locator('.qr').waitFor();
  expect(await axeProblems(tablet)).toEqual([]);
  expect(welcoming.count()).toBe(4);
  const worried = await scanning((await readCode(tablet)) ?? '', 'en', OTHER);

  // It is worried and wants a person; the technician answers, hands back, and the family finishes.
  await worried.caregiver.answer({ choose: ['yes'] });
  await worried.caregiver.answer('I want to talk to someone');
  await worried.caregiver.answer({ choose: ['skip'] });
  await tablet.goto(`${opened.service.url}/desk?person=yes`);
  const answering = presses(tablet);
  await answering.press('.case:has-text("No child named yet") h3 a');
  await answering.named('link', 'Thread with the caregiver');
  await tablet.locator('#phrase').selectOption('on-my-way');
  await answering.named('button', 'Send this phrase');
  await worried.page.locator('.line.technician').first().waitFor();
  const spoken = await worried.page.locator('.line.bot').count();
  await answering.named('button', 'Hand back to the bot');
  await worried.page.waitForFunction((before) => document.querySelectorAll('.line.bot').length > before, spoken);
  // The page may be ahead of the test, which reads along.
  await expect.poll(() => worried.caregiver.reply().asking, { timeout: 20_000 }).toBe('child-count');
  await worried.answerAll();
  expect(answering.count()).toBe(4);
  const here = lead.locator('section[aria-labelledby=here]');
  await here.getByRole('link', { name: await worried.reference() }).waitFor();

  // At the kerb: what cannot wait stands on top of who is there; the technician takes it on, records, signs, sends the sheet.
  await tablet.goto(opened.service.url + board);
  const kerb = presses(tablet);
  await kerb.named('button', `Has arrived: ${babyCase}`);
  await kerb.named('button', `I see this family: ${babyCase}`);
  expect(await tablet.locator('section[aria-labelledby=here] h3 a').allTextContents()).toEqual([
    babyCase,
    await worried.reference(),
  ]);
  expect(await axeProblems(tablet)).toEqual([]);
  await picture(tablet, 'board');
  await kerb.named('link', babyCase);
  expect(await tablet.locator('section[aria-labelledby=urgent]').textContent()).toMatch(/air bag/i);
  expect(await axeProblems(tablet)).toEqual([]);
  await picture(tablet, 'case');
  await kerb.named('link', 'Record the visit');
  const findings = tablet.locator('section[aria-labelledby=findings] li.finding');
  const airBag = findings.filter({ hasText: /air bag/i }).first();
  await kerb.within(
    tablet.getByRole('group', { name: /position, as left/ }).getByRole('button', { name: /row 2, right/ }),
  );
  await tablet.locator('#queue[data-state=saved]').waitFor();
  await kerb.within(airBag.getByRole('button', { name: 'corrected' }));
  await airBag.locator('.state.corrected').waitFor();
  await kerb.press('.sign-off');
  await tablet
    .getByText(/Signed by Sam Reed/)
    .first()
    .waitFor();
  await kerb.named('link', 'Take-home sheet');
  await tablet.getByRole('button', { name: 'Send the link to the family' }).waitFor();
  expect(await axeProblems(tablet)).toEqual([]);
  await kerb.named('button', 'Send the link to the family');
  expect(kerb.count()).toBe(9);
  // The board knows that it is done.
  await expect.poll(() => lead.locator('.over-part').textContent()).toContain(babyCase);

  // The family reads its sheet in its own language, behind a link that only it has.
  const sent = baby.page.locator('.line.technician .said').last();
  await sent.waitFor();
  const said = (await sent.textContent()) ?? '';
  expect(said).toContain(es.sent.link.split('{{link}}')[0]?.trim());
  const sheet = await (await opened.browser.newContext(PHONE)).newPage();
  await sheet.goto(opened.service.url + new URL(/http\S+/.exec(said)?.[0] ?? '').pathname);
  expect(await sheet.evaluate(() => document.documentElement.lang)).toBe('es');
  expect(await axeProblems(sheet)).toEqual([]);
  await picture(sheet, 'take-home');

  // In the evening: the coordinator reads the report of the event, exports it without names, and sees who did what.
  leading.count();
  await leading.press('.event-menu a[href^="/desk/reports"]');
  const figure = (words: string) => lead.locator('tr', { hasText: words }).locator('.number').textContent();
  expect(await figure('Visits with a record')).toBe('1');
  expect(await figure('Signed records')).toBe('1');
  expect(await figure('Families')).toBe('3');
  await picture(lead, 'report');
  const [download] = await Promise.all([lead.waitForEvent('download'), leading.named('link', 'CSV')]);
  expect(download.suggestedFilename()).toBe('lapwing-report.csv');
  await leading.named('link', 'Record of use');
  const record = (await lead.locator('tbody').textContent()) ?? '';
  for (const deed of [
    'event made',
    'exported without names',
    'visit signed',
    'take-home sheet sent',
    'handed back to the bot',
  ])
    expect(record).toContain(deed);
  expect(leading.count()).toBe(3);

  for (const heard of [baby.heard, elder.heard, worried.heard, heardAtDesk, heardAtKerb]) expect(heard).toEqual([]);
}, 120_000);
