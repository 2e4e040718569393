import type { BrowserContextOptions, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { type Answer, fakeConversations } from '../src/support/fake-conversations.ts';
import type { RunningServer } from '../src/support/start-server.ts';
import { axeProblems } from './axe.ts';
import { DESKTOP, openBrowser, PHONE } from './browser.ts';
import { servedPages } from './served.ts';

/** WCAG 2.2, 2.5.5 (AAA) and the guides of both large phone makers ask for about this much. */
const TARGET_PX = 44;

const served = servedPages();
let server: RunningServer;

const SEATS = {
  p2L: 'Second row, left',
  p2C: 'Second row, middle',
  p2R: 'Second row, right',
  p3L: 'Third row, left',
  p3C: 'Third row, middle',
  p3R: 'Third row, right',
  p1R: 'In front, next to the driver',
  unsure: "I don't know",
};

const asksWhere =
  (without: readonly string[] = [], language = 'en', seats: Record<string, string> = SEATS): Answer =>
  (message) =>
    message.text === ''
      ? {
          language,
          say: ['Where does Sam ride?'],
          asking: 'position',
          choices: Object.entries(seats)
            .filter(([id]) => !without.includes(id))
            .map(([id, text]) => ({ id, text })),
        }
      : { language, say: ['Thank you.'] };

async function open(answer: Answer, context: BrowserContextOptions = PHONE, language = 'en') {
  server = await served.start({ conversations: fakeConversations(answer) });
  const page = await (await served.browser.newContext(context)).newPage();
  await page.goto(`${server.url}/?lang=${language}`);
  await page.locator('.seat').first().waitFor();
  return page;
}

const seat = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const boxOf = async (page: Page, name: string) => {
  const box = await seat(page, name).boundingBox();
  if (!box) throw new Error(`${name} is not on the page`);
  return box;
};

describe('the plan of the car', () => {
  it('has the front on top, and left and right as seen facing forward', async () => {
    const page = await open(asksWhere());
    const [front, left, middle, right, third] = await Promise.all(
      [
        'In front, next to the driver',
        'Second row, left',
        'Second row, middle',
        'Second row, right',
        'Third row, left',
      ].map((name) => boxOf(page, name)),
    );
    if (!front || !left || !middle || !right || !third) throw new Error('a seat is missing');
    expect(front.y).toBeLessThan(left.y);
    expect(left.y).toBeLessThan(third.y);
    expect(left.x).toBeLessThan(middle.x);
    expect(middle.x).toBeLessThan(right.x);
    expect(front.x).toBe(right.x);
    const driver = await page.getByText('Driver', { exact: true }).boundingBox();
    expect(driver?.x).toBe(left.x);
    expect(driver?.y).toBe(front.y);
  });

  it('is not mirrored in a language written from right to left', async () => {
    const names = { ...SEATS, p2L: 'الصف الثاني، يسار', p2R: 'الصف الثاني، يمين' };
    const page = await open(asksWhere([], 'ar', names), PHONE, 'ar');
    expect(await page.evaluate(() => document.documentElement.dir)).toBe('rtl');
    const left = await boxOf(page, names.p2L);
    const right = await boxOf(page, names.p2R);
    expect(left.x).toBeLessThan(right.x);
    expect(await seat(page, names.p2L).getAttribute('dir')).toBe('rtl');
    expect(await axeProblems(page)).toEqual([]);
  });

  it.each([PHONE.viewport.width, 320])('has seats large enough for a thumb at %d px', async (width) => {
    const page = await open(asksWhere(), { ...PHONE, viewport: { width, height: 740 } });
    for (const name of Object.values(SEATS)) {
      const box = await boxOf(page, name);
      expect(Math.min(box.width, box.height), name).toBeGreaterThanOrEqual(TARGET_PX);
    }
    expect(await page.evaluate(() => document.querySelector('main')?.scrollWidth)).toBe(width);
  });

  it('breaks no word where the reader has set text twice as large', async () => {
    const large = await openBrowser(['--blink-settings=defaultFontSize=32']);
    server = await served.start({ conversations: fakeConversations(asksWhere()) });
    const page = await (await large.newContext(PHONE)).newPage();
    await page.goto(`${server.url}/?lang=en`);
    await page.locator('.seat').first().waitFor();
    const heights = await page.locator('button.seat').evaluateAll((seats) =>
      seats.map((seat) => {
        const { lineHeight } = getComputedStyle(seat);
        const range = document.createRange();
        range.selectNodeContents(seat);
        return Math.round(range.getBoundingClientRect().height / Number.parseFloat(lineHeight));
      }),
    );
    const sideways = await page.evaluate(() => document.querySelector('main')?.scrollWidth);
    await large.close();
    // "In front, next to the driver" stands on three lines, all others on two at most.
    expect(Math.max(...heights)).toBeLessThanOrEqual(3);
    expect(sideways).toBe(PHONE.viewport.width);
  });

  it('sends the id of the seat that was touched', async () => {
    const page = await open(asksWhere());
    await seat(page, 'Third row, middle').tap();
    await page.getByText('Thank you.').first().waitFor();
    expect(server.conversations.handled.map(({ text, choiceIds }) => [text, choiceIds])).toEqual([
      ['Third row, middle', ['p3C']],
    ]);
  });

  it('goes by keyboard in the order it is seen, and then to the other answers', async () => {
    const page = await open(asksWhere(), DESKTOP);
    await seat(page, 'In front, next to the driver').focus();
    const reached: (string | null)[] = [];
    for (let step = 0; step < 7; step++) {
      await page.keyboard.press('Tab');
      reached.push(await page.evaluate(() => document.activeElement?.textContent ?? null));
    }
    expect(reached).toEqual([SEATS.p2L, SEATS.p2C, SEATS.p2R, SEATS.p3L, SEATS.p3C, SEATS.p3R, SEATS.unsure]);
    await page.keyboard.press('Enter');
    await page.getByText('Thank you.').first().waitFor();
    expect(server.conversations.handled[0]?.choiceIds).toEqual(['unsure']);
  });

  it('offers no seat that the question does not, such as one a sibling has', async () => {
    const page = await open(asksWhere(['p2L', 'p3C']));
    expect(await page.locator('button.seat').count()).toBe(5);
    expect(await seat(page, 'Second row, left').count()).toBe(0);
    expect(await axeProblems(page)).toEqual([]);
    const group = page.getByRole('group', { name: 'The car from above' });
    expect(await group.getByRole('button').count()).toBe(5);
  });
});
