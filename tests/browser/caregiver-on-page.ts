import type { Page, Response } from 'playwright-core';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/** What a caregiver does when asked: types words, or touches choices by their ids. */
export type Doing = string | { readonly choose: readonly string[] };

export interface CaregiverOnPage {
  /** The bot's latest reply, as the page got it. */
  reply(): RenderedReply;
  /** Waits for the bot's first words. */
  begin(): Promise<void>;
  /** Does it by touch or keyboard and waits for the answer. */
  answer(doing: Doing): Promise<void>;
  /** Chooses a photo and waits for the answer. */
  photo(file: string): Promise<void>;
}

/** Reads along with the page, so that a test can answer each question as it comes. */
export function caregiverOnPage(page: Page): CaregiverOnPage {
  const replies: RenderedReply[] = [];
  let wake = () => {};
  page.on('response', async (response: Response) => {
    if (!/\/(?:activities|upload)\?|\/chat\/start$/.test(response.url()) || !response.ok()) return;
    const { activities } = (await response.json()) as {
      activities: { channelData?: { lapwing?: RenderedReply } }[];
    };
    // A person's line says who wrote it, and asks nothing.
    const said = activities.flatMap(({ channelData }) => channelData?.lapwing ?? []);
    replies.push(...said.filter((reply) => 'asking' in reply));
    wake();
  });
  const more = async (than: number) => {
    while (replies.length <= than) {
      await new Promise<void>((resolve) => {
        wake = resolve;
      });
    }
    await page.waitForFunction(
      (lines) => document.querySelectorAll('.bot').length >= lines && !document.querySelector('.waiting'),
      replies.length,
    );
  };
  const reply = () => replies.at(-1) as RenderedReply;
  const textOf = (id: string) => {
    const found = reply().choices.find((choice) => choice.id === id);
    if (!found) throw new Error(`${reply().asking} offers no ${id}`);
    return found.text;
  };

  return {
    reply,
    begin: () => more(0),
    async photo(file) {
      const before = replies.length;
      await page.locator('input[type=file]:not([capture])').setInputFiles(file);
      await more(before);
    },
    async answer(doing) {
      const before = replies.length;
      if (typeof doing === 'string') {
        await page.getByRole('textbox').fill(doing);
        await page.getByRole('textbox').press('Enter');
      } else if (reply().many && !['none', 'unsure'].includes(doing.choose[0] ?? '')) {
        for (const id of doing.choose) await page.getByLabel(textOf(id), { exact: true }).tap();
        await page.locator('.send-chosen').tap();
      } else {
        await page
          .locator('.choices')
          .getByRole('button', { name: textOf(doing.choose[0] ?? ''), exact: true })
          .tap();
      }
      await more(before);
    },
  };
}
