import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { assess } from '#shared/assess.ts';
import { foldVisit, history, latestOf } from '#shared/visit-record/fold.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { newToken, tokenHash } from '#src/desk/secrets.ts';
import { DAY, FAMILY, THREE } from '../shared/visit-record/entries.ts';
import { aVisit, CASE_PATH, deletion, RECORD_PATH } from '../src/desk/a-visit.ts';
import { NAME, type OpenDesk, PASSWORD } from '../src/desk/open-desk.ts';
import { axeProblems } from './axe.ts';
import { complaints, openBrowser, PHONE } from './browser.ts';

const TABLET = { viewport: { width: 820, height: 1180 }, hasTouch: true };
const LONG_MS = 10_000_000;

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

/** A page at tablet size with a session of the desk; its clicks are counted. */
async function atTheKerb(desk: OpenDesk, session: string, options: Parameters<Browser['newContext']>[0] = TABLET) {
  const context = await browser.newContext(options);
  onTestFinished(() => context.close());
  await context.addCookies([{ name: 'lapwing_desk', value: session, url: desk.url, httpOnly: true, sameSite: 'Lax' }]);
  const page = await context.newPage();
  return { page, context };
}

async function aSecondTechnician(desk: OpenDesk): Promise<string> {
  const sage = await desk.store.people.add({ name: 'Sage', role: 'technician', eventIds: null });
  if (sage === 'taken') throw new Error('the name is free');
  const session = newToken();
  await desk.store.sessions.add(tokenHash(session), sage.id, LONG_MS);
  return session;
}

const tap = (page: Page, group: string | RegExp, name: string) =>
  page.getByRole('group', { name: group }).getByRole('button', { name, exact: true }).first();
const saved = (page: Page) => page.locator('#queue[data-state=saved]').waitFor();

it('a technician verifies, measures, records as found and left through a lost connection, signs and sends the sheet', async () => {
  const { desk, browser: signedIn } = await aVisit();
  const { page, context } = await atTheKerb(desk, signedIn.cookies.get('lapwing_desk') ?? '');
  const heard = complaints(page);
  let clicks = 0;
  const click = async (what: ReturnType<Page['locator']>) => {
    clicks += 1;
    await what.click();
  };

  await page.goto(desk.url + CASE_PATH);
  await click(page.getByRole('link', { name: 'Record the visit' }));
  await saved(page);
  expect(await axeProblems(page)).toEqual([]);
  const toVerify = await page.locator('.verify li').count();
  expect(toVerify).toBeGreaterThan(5);
  const lost = await page
    .locator('.verify a')
    .evaluateAll((links) =>
      links.map((link) => link.getAttribute('href') ?? '').filter((href) => !document.querySelector(href)),
    );
  expect(lost).toEqual([]);

  // Measured: pounds and inches as typed, the reported range still beside it.
  const weight = page.locator('.measures .control').first();
  await weight.locator('input[name=value]').fill('27.5');
  await click(weight.getByRole('button', { name: 'Save' }));
  await page.getByText('27.5 lb (12.5 kg)').waitFor();
  expect(await weight.locator('xpath=ancestor::*[contains(@class,"fact-row")]').textContent()).toContain(
    '24.3–28.7 lb',
  );

  // As found and as left, a tap each.
  await click(tap(page, /tether, as found/, 'not attached (reported)'));
  await click(tap(page, /way of riding, as left/, 'rear-facing'));
  await tap(page, /recline, as left/, 'in range').waitFor();
  await saved(page);

  // The connection is lost: what is tapped stays on the device and is sent once it is back.
  await context.setOffline(true);
  await click(tap(page, /recline, as left/, 'in range'));
  await click(tap(page, /pinched at the shoulder, as left/, 'no'));
  await page.locator('#queue[data-state=waiting]').waitFor();
  expect(await page.locator('#queue-words').textContent()).toBe('Waiting for the connection; kept on this device: 2');
  expect((await desk.store.visits.of('KV7-2QM')).length).toBe(3);
  await context.setOffline(false);
  await saved(page);
  expect((await desk.store.visits.of('KV7-2QM')).length).toBe(5);

  // The session ends in the middle: signing in again brings the entry in.
  await context.clearCookies();
  await click(tap(page, /attached by, as left/, 'lower anchors'));
  await page.locator('#queue[data-state=ended]').waitFor();
  const again = newToken();
  const [robin] = await desk.store.people.list();
  await desk.store.sessions.add(tokenHash(again), robin?.id ?? '', LONG_MS);
  await context.addCookies([{ name: 'lapwing_desk', value: again, url: desk.url, httpOnly: true, sameSite: 'Lax' }]);
  await click(page.locator('#queue-sign-in'));
  await saved(page);
  await expect.poll(async () => (await desk.store.visits.of('KV7-2QM')).length).toBe(6);

  expect(await page.locator('.verify li').count()).toBeLessThan(toVerify);
  await click(page.getByRole('group', { name: /want reminders/ }).getByRole('button', { name: 'yes' }));
  await click(page.getByRole('button', { name: `Sign as ${NAME}` }));
  await page.locator('#record .entry button[value=mistake]').waitFor();
  expect(await axeProblems(page)).toEqual([]);
  const record = foldVisit(await desk.store.visits.of('KV7-2QM'));
  expect(record.signed?.by).toBe(NAME);
  const { left } = reviewVisit(FAMILY, record.current, DAY);
  expect(left.case.uses[0]).toMatchObject({ mode: 'rear-facing', attachment: 'lower-anchors', recline: 'in-range' });

  await click(page.getByRole('link', { name: 'Take-home sheet' }));
  expect(await axeProblems(page)).toEqual([]);
  const pdf = (await page.pdf({ format: 'Letter' })).toString('latin1');
  expect(pdf.match(/\/Type \/Page\b/g)).toHaveLength(1);
  await click(page.getByRole('button', { name: 'Send the link to the family' }));
  await page.getByText('The link was sent').waitFor();
  const [line] = (await desk.store.conversations.thread('k1', 0)).filter(({ from }) => from === 'technician');
  const link = /\/take-home\/[\w-]{43}/.exec(line?.text ?? '')?.[0] ?? '';
  const family = await (await browser.newContext(PHONE)).newPage();
  await family.goto(desk.url + link);
  expect(await family.locator('.sheet h2').textContent()).toBe('How Wren rides');
  expect(await axeProblems(family)).toEqual([]);
  await family.context().close();
  expect(heard.filter((one) => !/ERR_INTERNET_DISCONNECTED|401/.test(one))).toEqual([]);
  // The clicks of this journey, as told in the report of the desk.
  expect(clicks).toBe(12);
}, 60_000);

it('three children beside one another are drawn on the sheet of each, one page a child, in languages of both directions', async () => {
  for (const language of ['ru', 'ar']) {
    const {
      desk,
      browser: signedIn,
      post,
    } = await aVisit({ over: { language, case: THREE, assessment: assess(THREE) } });
    await post({ does: 'fact', stage: 'left', path: 'uses.c1.mode', value: 'rear-facing', unit: '' });
    await post({ does: 'sign-off' });
    const { page } = await atTheKerb(desk, signedIn.cookies.get('lapwing_desk') ?? '');
    await page.goto(`${desk.url}${CASE_PATH}/take-home`);
    expect(await axeProblems(page)).toEqual([]);
    await page.emulateMedia({ media: 'print' });
    const drawn = await page.locator('.plan svg').evaluateAll((drawings) =>
      drawings.map((drawing) => {
        const seats = [...drawing.querySelectorAll('rect.taken')].map((seat) => seat.getBoundingClientRect());
        const words = [...drawing.querySelectorAll('.sits, .taken ~ .hardware')].map((one) =>
          one.getBoundingClientRect(),
        );
        const inside = (a: DOMRect, b: DOMRect) =>
          a.left >= b.left && a.right <= b.right && a.top >= b.top && a.bottom <= b.bottom;
        return {
          // Left to right as the car is, whichever way the words run.
          names: [...drawing.querySelectorAll('.sits')]
            .toSorted((a, b) => a.getBoundingClientRect().left - b.getBoundingClientRect().left)
            .map((name) => name.textContent),
          lost: words.filter((one) => !seats.some((seat) => inside(one, seat))).length,
        };
      }),
    );
    expect(drawn).toEqual(Array.from({ length: 3 }, () => ({ names: ['Sorrel', 'Bramble', 'Wren'], lost: 0 })));
    const paper = (await page.pdf({ format: 'Letter' })).toString('latin1');
    expect(paper.match(/\/Type \/Page\b/g), language).toHaveLength(3);
  }
}, 60_000);

it('two technicians at one case see each other’s entries at once, and neither overwrites the other', async () => {
  const { desk, browser: signedIn } = await aVisit();
  const robin = await atTheKerb(desk, signedIn.cookies.get('lapwing_desk') ?? '');
  const sage = await atTheKerb(desk, await aSecondTechnician(desk));
  for (const { page } of [robin, sage]) {
    await page.goto(desk.url + RECORD_PATH);
    await saved(page);
  }
  // What one is typing stays while the other's entries come in.
  await sage.page.locator('#note').fill('Half a sent');
  desk.clock.now = new Date('2026-05-16T12:01:00.000Z');
  await tap(robin.page, /tether, as found/, 'attached').click();
  const onSage = sage.page.locator('.control', { hasText: NAME }).first();
  await onSage.waitFor();
  expect(await sage.page.locator('#note').inputValue()).toBe('Half a sent');
  desk.clock.now = new Date('2026-05-16T12:02:00.000Z');
  await sage.page
    .getByRole('group', { name: /tether, as found/ })
    .locator('button[value=not-attached]')
    .click();
  await robin.page.getByText('Somebody else recorded something else').waitFor();
  const said = history(foldVisit(await desk.store.visits.of('KV7-2QM')).current, 'fact found uses.c1.tether');
  expect(said.map(({ by }) => by)).toEqual([NAME, 'Sage']);

  // One signs; what the other adds afterwards is a correction with its reason.
  await robin.page.getByRole('button', { name: `Sign as ${NAME}` }).click();
  await sage.page.getByText(`Signed by ${NAME}`).first().waitFor();
  await sage.page.locator('button[value=seen-later]').click();
  desk.clock.now = new Date('2026-05-16T12:03:00.000Z');
  await sage.page.locator('#note').fill('The anchor was rusty');
  await sage.page.locator('form:has(#note) button').click();
  await robin.page.getByText('The anchor was rusty').waitFor();
  const record = foldVisit(await desk.store.visits.of('KV7-2QM'));
  expect(record.corrections.map(({ by, why }) => [by, why])).toEqual([['Sage', 'seen-later']]);
  expect(latestOf(record.signed?.slots ?? new Map(), 'note')).toEqual([]);
}, 60_000);

it('a family that deletes its data while entries wait leaves a clear page, and nothing on the device', async () => {
  const { desk, browser: signedIn } = await aVisit();
  const { page, context } = await atTheKerb(desk, signedIn.cookies.get('lapwing_desk') ?? '');
  await page.goto(desk.url + RECORD_PATH);
  await saved(page);
  await context.setOffline(true);
  await tap(page, /tether, as found/, 'attached').click();
  await page.locator('#queue[data-state=waiting]').waitFor();
  await desk.store.conversations.commit(deletion);
  await context.setOffline(false);
  await page.getByRole('heading', { name: 'This record is not there any more' }).waitFor();
  expect(await page.evaluate(() => Object.keys(localStorage))).toEqual([]);
  expect(await desk.store.visits.of('KV7-2QM')).toEqual([]);
}, 60_000);

/** Goes on by Tab alone until the wanted element has the focus. */
async function reach(page: Page, selector: string): Promise<void> {
  for (let i = 0; i < 300; i++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted), selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`${selector} was not reached`);
}

it('needs no mouse, and no script', async () => {
  const { desk, browser: signedIn } = await aVisit({ signIn: true });
  const session = signedIn.cookies.get('lapwing_desk') ?? '';
  const { page } = await atTheKerb(desk, session);
  await page.goto(desk.url + RECORD_PATH);
  await saved(page);
  await reach(page, '.measures input[name=value]');
  await page.keyboard.type('27');
  await page.keyboard.press('Enter');
  await page.getByText('27 lb (12.2 kg)').waitFor();
  await reach(page, '[id$="-found"] button[value=lower-anchors]');
  await page.keyboard.press('Space');
  await saved(page);
  await reach(page, '.sign-off');
  await page.keyboard.press('Enter');
  await page.getByText(`Signed by ${NAME}`).first().waitFor();

  const plain = await atTheKerb(desk, session, { ...PHONE, javaScriptEnabled: false });
  await plain.page.goto(`${desk.url}${RECORD_PATH}?why=mistake`);
  await plain.page.locator('#note').fill('Written without a script');
  desk.clock.now = new Date(desk.clock.now.getTime() + 24 * 60 * 60 * 1000);
  await plain.page.locator('form:has(#note) button').click();
  await plain.page.locator('#name').fill(NAME);
  await plain.page.locator('#password').fill(PASSWORD);
  await plain.page.locator('main button[type=submit]').click();
  expect(await plain.page.locator('main').textContent()).toContain('Written without a script');
  await plain.page.getByRole('button', { name: 'Send it now' }).click();
  await plain.page.getByText('Written without a script').waitFor();
  expect(foldVisit(await desk.store.visits.of('KV7-2QM')).corrections).toHaveLength(1);
}, 60_000);
