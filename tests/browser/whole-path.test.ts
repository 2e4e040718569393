import { expect, it } from 'vitest';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, PHONE } from './browser.ts';
import { caregiverOnPage, type Doing } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';

const opened = openedService();

/** A baby of nine months who rides rear-facing on the front seat, before an air bag that is on. */
const ANSWERS: Readonly<Record<string, Doing>> = {
  consent: { choose: ['yes'] },
  'child-count': { choose: ['1'] },
  age: '9 meses',
  weight: '8,5 kilos',
  height: '70 cm',
  'care-needs': { choose: ['none'] },
  'riding-mode': { choose: ['rear-facing'] },
  'seat-kind': { choose: ['rear-facing-only'] },
  'label-limits': '4-35 lb, hasta 32 pulgadas',
  'seat-dates': 'mayo de 2025, se puede usar 6 años',
  'seat-history': { choose: ['new', 'not-registered'] },
  position: { choose: ['p1R'] },
  'front-air-bag': { choose: ['active'] },
  attachment: { choose: ['seat-belt'] },
  'install-check': { choose: ['moves'] },
  'harness-check': { choose: ['none'] },
  vehicle: 'un sedán de 2016',
  place: 'California',
  confirm: { choose: ['yes'] },
  review: { choose: ['yes'] },
  slot: { choose: ['later'] },
};

const MOST_QUESTIONS = 40;

it('a family writes in Spanish on a phone, and the technician reads the summary at the desk', async () => {
  const phone = await opened.browser.newContext({ ...PHONE, locale: 'es-MX' });
  const page = await phone.newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?event=demo&lang=es`);
  await caregiver.begin();
  const asked: string[] = [];
  while (!caregiver.reply().done && asked.length < MOST_QUESTIONS) {
    const { asking, choices } = caregiver.reply();
    asked.push(String(asking));
    // Nothing sticks out of the window: only the thread scrolls, so the cautions stay in view.
    const { scrollWidth, scrollHeight } = await page.evaluate(() => ({
      scrollWidth: document.documentElement.scrollWidth,
      scrollHeight: document.documentElement.scrollHeight,
    }));
    expect([scrollWidth, scrollHeight], asked.join()).toEqual([PHONE.viewport.width, PHONE.viewport.height]);
    expect(await axeProblems(page), asked.join()).toEqual([]);
    const way = choices.find(({ id }) => id === 'unsure' || id === 'none')?.id ?? choices[0]?.id ?? '';
    await caregiver.answer(ANSWERS[String(asking)] ?? { choose: [way] });
  }
  expect(caregiver.reply()).toMatchObject({ done: true, language: 'es' });
  expect(asked).toEqual(expect.arrayContaining(['consent', 'age', 'weight', 'riding-mode', 'seat-history', 'review']));
  expect(await page.evaluate(() => document.documentElement.lang)).toBe('es');
  expect(await page.locator('.danger').count()).toBeGreaterThan(0);
  const reference = /\b[2-9A-Z]{4}-[2-9A-Z]{4}\b/.exec((await page.getByRole('log').textContent()) ?? '')?.[0] ?? '';
  expect(reference).not.toBe('');
  expect(heard).toEqual([]);

  const desk = await (await opened.browser.newContext(DESKTOP)).newPage();
  await desk.goto(opened.service.firstRunLink ?? '');
  await desk.locator('#name').fill('Robin');
  await desk.locator('#password').fill('a long password for tests');
  await desk.locator('#again').fill('a long password for tests');
  await desk.locator('main button[type=submit]').click();
  await desk.getByRole('link', { name: reference }).click();
  expect(await desk.locator('main').textContent()).toContain(reference);
  const urgent = desk.locator('section[aria-labelledby=urgent]');
  expect(await urgent.textContent()).toMatch(/air bag/i);
  const words = await desk.locator('section[aria-labelledby=words]').textContent();
  for (const said of ['9 meses', '8,5 kilos', '70 cm', '4-35 lb, hasta 32 pulgadas']) expect(words).toContain(said);
  const limits = await desk.locator('section[aria-labelledby=words] tr', { hasText: '4-35 lb' }).textContent();
  for (const read of ['4 lb (1.8 kg)', '35 lb (15.9 kg)', '32 in (81.3 cm)']) expect(limits).toContain(read);
  expect(await desk.locator('main').textContent()).toMatch(/Spanish/);
}, 120_000);

it('a family changes the language, has everything deleted and may begin again in the same window', async () => {
  const page = await (await opened.browser.newContext({ ...PHONE, locale: 'en-US' })).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?lang=en`);
  await caregiver.begin();
  await caregiver.answer({ choose: ['yes'] });
  await page.getByRole('button', { name: 'Menu' }).tap();
  await page.getByRole('button', { name: 'Español' }).tap();
  await page.waitForFunction(() => document.documentElement.lang === 'es');
  await page.getByRole('button', { name: 'Menú' }).tap();
  await page.getByRole('button', { name: 'Borrar mis datos' }).tap();
  await page.getByRole('button', { name: 'Sí', exact: true }).tap();
  await page.waitForFunction(() => localStorage.length === 0);
  expect(caregiver.reply()).toMatchObject({ done: true, asking: null });
  await page.locator('.choices').getByRole('button').first().tap();
  await page.waitForFunction(() => localStorage.length === 1);
  // The page may be ahead of the test, which reads along.
  await expect.poll(() => caregiver.reply().done).toBe(false);
  await page.reload();
  await page.locator('.bot').first().waitFor();
  expect(await page.getByRole('log').textContent()).not.toMatch(/Español|Borrar mis datos/);
  expect(heard).toEqual([]);
}, 60_000);
