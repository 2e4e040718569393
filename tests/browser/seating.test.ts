import { expect, it } from 'vitest';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, PHONE } from './browser.ts';
import { caregiverOnPage, type Doing } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';

const opened = openedService();

const of = (c1: Doing, c2: Doing, c3: Doing): Readonly<Record<string, Doing>> => ({ c1, c2, c3 });

/** A baby in front of an air bag, and two children on the sides of the second row. What is not here nobody knows. */
const ANSWERS: Readonly<Record<string, Readonly<Record<string, Doing>> | Doing>> = {
  consent: { choose: ['yes'] },
  'child-count': { choose: ['3'] },
  'child-name': of('Wren', 'Ash', 'Sol'),
  age: of('8 months, 18 lb, 27 in', '4 years 6 months, 40 lb, 42 in', '7 years, 53 lb, 49 in'),
  'riding-mode': of({ choose: ['rear-facing'] }, { choose: ['forward-facing'] }, { choose: ['booster'] }),
  'seat-kind': of({ choose: ['rear-facing-only'] }, { choose: ['forward-facing-harness'] }, { choose: ['booster'] }),
  position: of({ choose: ['p1R'] }, { choose: ['p2L'] }, { choose: ['p2R'] }),
  'front-air-bag': { choose: ['active'] },
  confirm: { choose: ['yes'] },
  review: { choose: ['yes'] },
};
const MOST_QUESTIONS = 70;

it('three children share a car: another way to sit is shown in the review, and compared, held and worked out again at the desk', async () => {
  const page = await (await opened.browser.newContext({ ...PHONE, locale: 'en-US' })).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?event=demo&lang=en`);
  await caregiver.begin();
  for (let turn = 0; !caregiver.reply().done && turn < MOST_QUESTIONS; turn++) {
    const { asking, child, choices } = caregiver.reply();
    if (asking === 'review') {
      expect(await page.locator('.seatings .seating').count()).toBe(2);
      const [now, other] = await page.locator('.seatings .seating').allTextContents();
      expect(now).toContain('Wren');
      expect(await page.locator('.seatings .moved').allTextContents()).toEqual(['Wren']);
      expect(other).toMatch(/Ash\s*Wren\s*Sol/);
      const said = await page.locator('.choices').textContent();
      expect(said).toContain('Wren: now In front, next to the driver. Could sit: Second row, middle.');
      expect(said).toContain('Your technician decides');
      expect(await axeProblems(page)).toEqual([]);
    }
    const way = choices.find(({ id }) => id === 'unsure' || id === 'none')?.id ?? choices[0]?.id ?? '';
    const given = ANSWERS[String(asking)];
    const mine = given && typeof given === 'object' && !('choose' in given) ? given[child ?? ''] : given;
    await caregiver.answer((mine as Doing | undefined) ?? { choose: [way] });
  }
  expect(caregiver.reply()).toMatchObject({ done: true });
  const reference = /\b[2-9A-Z]{4}-[2-9A-Z]{4}\b/.exec((await page.getByRole('log').textContent()) ?? '')?.[0] ?? '';
  expect(heard).toEqual([]);

  const desk = await (await opened.browser.newContext({ ...DESKTOP, javaScriptEnabled: false })).newPage();
  await desk.goto(opened.service.firstRunLink ?? '');
  await desk.locator('#name').fill('Robin');
  await desk.locator('#password').fill('a long password for tests');
  await desk.locator('#again').fill('a long password for tests');
  await desk.locator('main button[type=submit]').click();
  await desk.getByRole('link', { name: reference }).click();
  await desk.getByRole('link', { name: 'Compare seating plans' }).click();
  const plan = (number: number) => desk.locator(`section[aria-labelledby=plan-${number}-h]`);
  expect(await plan(1).locator('tbody').textContent()).toMatch(/Wren\s+row 2, center/);
  const wide = await desk.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(wide).toBe(0);

  // By keyboard alone: the baby is held to the left, and the others are seated around it.
  await desk.getByLabel('Wren', { exact: true }).focus();
  await desk.keyboard.type('row 2, left');
  await desk.getByRole('button', { name: 'Work out again' }).focus();
  await desk.keyboard.press('Enter');
  await desk.waitForURL(/at-0=p2L/);
  expect(await desk.getByLabel('Wren', { exact: true }).inputValue()).toBe('p2L');
  for (const number of [1, 2]) {
    const seats = await plan(number).locator('tbody').textContent();
    expect(seats).toMatch(/Wren\s+row 2, left/);
    expect(seats).not.toMatch(/Ash\s+row 2, left/);
  }
  await desk.getByLabel('Wren', { exact: true }).selectOption('p1R');
  await desk.getByRole('button', { name: 'Work out again' }).click();
  expect(await desk.locator('main').textContent()).toContain('the front air bag switched off, where the manuals allow');
}, 120_000);
