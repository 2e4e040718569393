import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import type { PageData } from '#src/page/page-data.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';
import { familyAnswer } from './page-answers.ts';

const MOST_QUESTIONS = 40;
const PLAIN = 'abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ';
const ACCENTED = 'áƀćďéƒǧĥíĵķĺɱńóƥɋŕśťúṽẃẋýźÁƁĆĎÉƑǦĤÍĴĶĹṀŃÓƤɊŔŚŤÚṼẂẊÝŹ';

/** English as a language of its own: every letter accented, and wrapped, so that it is longer too. */
const pseudo = (text: string): string =>
  `⟦${[...text].map((letter) => [...ACCENTED][PLAIN.indexOf(letter)] ?? letter).join('')}⟧`;

const pseudoReply = (reply: RenderedReply): RenderedReply => ({
  ...reply,
  say: reply.say.map(pseudo),
  choices: reply.choices.map(({ id, text }) => ({ id, text: pseudo(text) })),
});

interface Sent {
  readonly activities: {
    text?: string;
    from: { role: string };
    attachments?: { name: string }[];
    channelData?: { lapwing?: RenderedReply };
  }[];
}

const opened = openedService();

/** Puts every word that the service gives the page into the made-up language, between the two. */
async function speakPseudo(page: Page): Promise<void> {
  await page.route('**/*', async (route) => {
    const { pathname } = new URL(route.request().url());
    if (pathname.startsWith('/pictures/')) return route.continue();
    const response = await route.fetch();
    if (pathname === '/') {
      const html = (await response.text()).replace(/(id="data">)(.*?)(<\/script>)/s, (_, open, json, close) => {
        const data = JSON.parse(json) as PageData;
        const words = Object.fromEntries(Object.entries(data.words).map(([key, text]) => [key, pseudo(text)]));
        const languages = data.languages.map((one) => ({ ...one, notice: one.notice && pseudo(one.notice) }));
        const greeting = data.greeting && pseudoReply(data.greeting);
        return `${open}${JSON.stringify({ words, languages, greeting }).replaceAll('<', '\\u003c')}${close}`;
      });
      return route.fulfill({ response, body: html });
    }
    const body = (await response.json()) as Sent;
    for (const activity of body.activities ?? []) {
      if (activity.text && activity.from.role === 'user') activity.text = pseudo(activity.text);
      for (const attachment of activity.attachments ?? []) attachment.name = pseudo(attachment.name);
      if (activity.channelData?.lapwing?.say) activity.channelData.lapwing = pseudoReply(activity.channelData.lapwing);
    }
    return route.fulfill({ response, json: body });
  });
}

/** Words on the page, for eyes or ears, that are not in the made-up language. */
const plainWords = (page: Page) =>
  page.evaluate(() => {
    // Names stay as they are: the bot's own, and each language's in its own writing.
    const named = (element: Element | null) => element?.closest('dialog [lang], script, style') != null;
    const found: string[] = [];
    const look = (text: string | null) => {
      for (const word of (text ?? '').match(/[A-Za-z]{2,}/g) ?? []) if (word !== 'Lapwing') found.push(word);
    };
    const walker = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) if (!named(walker.currentNode.parentElement)) look(walker.currentNode.textContent);
    for (const element of document.querySelectorAll('*')) {
      if (named(element)) continue;
      for (const name of ['aria-label', 'alt', 'title', 'placeholder', 'aria-roledescription'])
        look(element.getAttribute(name));
    }
    return found;
  });

it('the page shows no word of its own: all come from the language files and the conversation', async () => {
  const page = await (await opened.browser.newContext(PHONE)).newPage();
  await speakPseudo(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?event=demo&lang=en`);
  await caregiver.begin();
  const asked: string[] = [];
  while (!caregiver.reply().done && asked.length < MOST_QUESTIONS) {
    asked.push(String(caregiver.reply().asking));
    expect(await plainWords(page), asked.join()).toEqual([]);
    await caregiver.answer(familyAnswer(caregiver.reply()));
  }
  expect(caregiver.reply().done).toBe(true);
  expect(await page.title()).toMatch(/^⟦/);
  await page.locator('.menu-button').tap();
  expect(await plainWords(page)).toEqual([]);
  expect(asked).toEqual(expect.arrayContaining(['position', 'install-check', 'review']));

  // The check itself: a word of the page's own would be found.
  await page.evaluate(() => document.querySelector('main')?.append('Hello'));
  expect(await plainWords(page)).toEqual(['Hello']);
}, 120_000);
