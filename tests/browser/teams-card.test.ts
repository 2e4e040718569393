// The renderer is the public library of Adaptive Cards (npm adaptivecards), as hosts embed it.
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { teamsCard } from '#src/handoff/teams-card.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary } from '../factories/summary.ts';
import { openBrowser } from './browser.ts';

const LIBRARY = createRequire(import.meta.url).resolve('adaptivecards/dist/adaptivecards.min.js');
const words = createWords();
let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 480, height: 900 } });
  await page.setContent('<!doctype html><meta charset="utf-8"><body style="font-family:sans-serif"><main></main>');
  await page.addScriptTag({ path: LIBRARY });
});
afterAll(() => browser.close());

const { case: facts, assessment } = aSummary();
const hostile = '<img src=x onerror=x()> [x](https://e.example) **b**';

const families = {
  urgent: aSummary({
    case: {
      ...facts,
      children: facts.children.map((child) => ({ ...child, name: hostile })),
    },
    assessment: {
      ...assessment,
      findings: [
        {
          code: 'seat-expired',
          urgency: 'before-next-trip',
          childId: 'c1',
          seatId: 's1',
          positionId: null,
          facts: ['seats.s1.expiryDate'],
          sources: ['S-012'],
        },
      ],
    },
  }),
  calm: aSummary(),
  unfinished: aSummary({ complete: false, case: { ...facts, children: [], uses: [] }, verifyFirst: [] }),
};

/** Parses and renders in the page; gives what the parser complained of and the rendered text. */
const render = (card: object) =>
  page.evaluate((json) => {
    // biome-ignore lint/suspicious/noExplicitAny: the library's global has no types here
    const library = (globalThis as any).AdaptiveCards;
    const context = new library.SerializationContext();
    const parsed = new library.AdaptiveCard();
    parsed.parse(json, context);
    const problems = [...Array(context.eventCount).keys()].map((i) => context.getEventAt(i).message);
    const invalid = parsed.validateProperties().validationEvents.map(({ message }: { message: string }) => message);
    const rendered = parsed.render() as HTMLElement;
    document.querySelector('main')?.replaceChildren(rendered);
    return {
      problems: [...problems, ...invalid],
      text: rendered.textContent ?? '',
      links: [...rendered.querySelectorAll('a')].map((link) => link.href),
      images: rendered.querySelectorAll('img').length,
      bold: rendered.querySelectorAll('strong').length,
    };
  }, card);

describe.each(['en', 'es'])('the card of a summary, in %s', (language) => {
  it.each(Object.entries(families))('is parsed without a complaint and rendered: %s', async (name, summary) => {
    const deskAddress = (reference: string) => `https://seats.example.org/desk/cases/${reference}`;
    const card = teamsCard(summary, { kind: 'summary', words, language, deskAddress });
    const { problems, text, links, images, bold } = await render(card);
    expect(problems).toEqual([]);
    expect(text).toContain('KV7-2QM');
    if (name === 'urgent') expect(text.replace(/\s+/g, ' ')).toContain(hostile);
    expect({ links, images, bold }).toEqual({ links: [], images: 0, bold: 0 });
    if (process.env.LAPWING_SHOTS)
      await page.screenshot({ path: `${process.env.LAPWING_SHOTS}/card-${name}-${language}.png` });
  });
});
