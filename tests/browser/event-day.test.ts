import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import es from '#locales/es/take-home.json' with { type: 'json' };
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, PHONE } from './browser.ts';
import { type CaregiverOnPage, caregiverOnPage, type Doing } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';
import { familyAnswer } from './page-answers.ts';

const TABLET = { viewport: { width: 820, height: 1180 }, hasTouch: true };
const PASSWORD = 'a long password for tests';
const MOST_QUESTIONS = 40;
const REFERENCE = /\b[2-9A-Z]{4}-[2-9A-Z]{4}\b/;

const opened = openedService();

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

/** A phone that opens the address of the poster. */
async function fromPoster(language: string, other: Readonly<Record<string, Doing>> = {}): Promise<Family> {
  const page = await (await opened.browser.newContext(PHONE)).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?event=demo&lang=${language}`);
  await caregiver.begin();
  return {
    page,
    caregiver,
    heard,
    async answerAll() {
      for (let turns = 0; !caregiver.reply().done && turns < MOST_QUESTIONS; turns++) {
        const reply = caregiver.reply();
        await caregiver.answer(other[String(reply.asking)] ?? familyAnswer(reply));
      }
      expect(caregiver.reply()).toMatchObject({ done: true, language });
    },
    reference: async () => REFERENCE.exec((await page.getByRole('log').textContent()) ?? '')?.[0] ?? 'none',
  };
}

/** Counts what somebody presses, so that a journey that grows longer is noticed. */
function presses(page: Page) {
  let count = 0;
  return {
    press: async (selector: string) => {
      count += 1;
      await page.locator(selector).first().click();
    },
    named: async (role: 'link' | 'button', name: string | RegExp) => {
      count += 1;
      await page.getByRole(role, { name }).first().click();
    },
    count: () => count,
  };
}

async function choosePassword(page: Page): Promise<void> {
  for (const field of ['#password', '#again']) await page.locator(field).fill(PASSWORD);
  await page.locator('main button[type=submit]').click();
  await page.waitForURL(/\/desk$/);
}

it('an event day: three families in three languages, a technician at the kerb, a coordinator with the report', async () => {
  // The day before: the coordinator sets the desk up and invites a technician to this event.
  const lead = await (await opened.browser.newContext(DESKTOP)).newPage();
  const heardAtDesk = complaints(lead);
  await lead.goto(opened.service.firstRunLink ?? '');
  await lead.locator('#name').fill('Robin Ash');
  await choosePassword(lead);
  const leading = presses(lead);
  await leading.named('link', 'People');
  await lead.locator('#name').fill('Sam Reed');
  await lead.locator('input[name=which][value=some]').check();
  await lead.locator('input[name=event][value=demo]').check();
  await leading.named('button', 'Make a link');
  const invitation = new URL(await lead.locator('#link').inputValue());
  const tablet = await (await opened.browser.newContext(TABLET)).newPage();
  const heardAtKerb = complaints(tablet);
  await tablet.goto(opened.service.url + invitation.pathname + invitation.search);
  await choosePassword(tablet);

  // Three families scan the poster at once, each with its language.
  const [baby, elder, worried] = await Promise.all([
    fromPoster('es'),
    fromPoster('ar', OTHER),
    fromPoster('en', OTHER),
  ]);
  expect(await elder.page.evaluate(() => document.documentElement.dir)).toBe('rtl');
  await Promise.all([baby.answerAll(), elder.answerAll()]);
  expect(await baby.page.locator('.danger').count()).toBeGreaterThan(0);
  const [babyCase, elderCase] = await Promise.all([baby.reference(), elder.reference()]);

  // The third is worried and wants a person; the technician answers, hands back, and the family finishes.
  await worried.caregiver.answer({ choose: ['yes'] });
  await worried.caregiver.answer('I want to talk to someone');
  await worried.caregiver.answer({ choose: ['skip'] });
  await tablet.goto(`${opened.service.url}/desk?person=yes`);
  const answering = presses(tablet);
  await tablet.locator('.case', { hasText: 'No child named yet' }).locator('h3 a').click();
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
  expect(answering.count()).toBe(3);

  // At the kerb: what cannot wait stands on top; the technician records, signs and sends the sheet home.
  await tablet.goto(`${opened.service.url}/desk`);
  const urgent = tablet.locator('section[aria-labelledby=before-travel-group]');
  expect(await urgent.textContent()).toContain(babyCase);
  expect(await urgent.textContent()).not.toContain(elderCase);
  const kerb = presses(tablet);
  await kerb.named('link', babyCase);
  expect(await tablet.locator('section[aria-labelledby=urgent]').textContent()).toMatch(/air bag/i);
  expect(await axeProblems(tablet)).toEqual([]);
  await kerb.named('link', 'Record the visit');
  const findings = tablet.locator('section[aria-labelledby=findings] li.finding');
  const airBag = findings.filter({ hasText: /air bag/i }).first();
  await airBag.getByRole('button', { name: 'corrected' }).click();
  await airBag.locator('.state.corrected').waitFor();
  await kerb.press('.sign-off');
  await tablet
    .getByText(/Signed by Sam Reed/)
    .first()
    .waitFor();
  await kerb.named('link', 'Take-home sheet');
  expect(await axeProblems(tablet)).toEqual([]);
  await kerb.named('button', 'Send the link to the family');
  expect(kerb.count()).toBe(5);

  // The family reads its sheet in its own language, behind a link that only it has.
  const sent = baby.page.locator('.line.technician .said').last();
  await sent.waitFor();
  const said = (await sent.textContent()) ?? '';
  expect(said).toContain(es.sent.link.split('{{link}}')[0]?.trim());
  const sheet = await (await opened.browser.newContext(PHONE)).newPage();
  await sheet.goto(opened.service.url + new URL(/http\S+/.exec(said)?.[0] ?? '').pathname);
  expect(await sheet.evaluate(() => document.documentElement.lang)).toBe('es');
  expect(await axeProblems(sheet)).toEqual([]);

  // In the evening: the coordinator reads the report, exports it without names, and sees who did what.
  await leading.named('link', 'Reports');
  const figure = (words: string) => lead.locator('tr', { hasText: words }).locator('.number').textContent();
  expect(await figure('Visits with a record')).toBe('1');
  expect(await figure('Signed records')).toBe('1');
  const families = Number(await figure('Families'));
  expect(families).toBeGreaterThanOrEqual(3);
  const [download] = await Promise.all([lead.waitForEvent('download'), leading.named('link', 'CSV')]);
  expect(download.suggestedFilename()).toBe('lapwing-report.csv');
  await leading.named('link', 'Record of use');
  const record = (await lead.locator('tbody').textContent()) ?? '';
  for (const deed of ['exported without names', 'visit signed', 'take-home sheet sent', 'handed back to the bot'])
    expect(record).toContain(deed);
  expect(leading.count()).toBe(5);

  for (const heard of [baby.heard, elder.heard, worried.heard, heardAtDesk, heardAtKerb]) expect(heard).toEqual([]);
}, 120_000);
