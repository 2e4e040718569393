import type { ElementHandle, Page } from 'playwright-core';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { type Answer, fakeConversations } from '../src/support/fake-conversations.ts';
import type { RunningServer } from '../src/support/start-server.ts';
import { axeProblems } from './axe.ts';
import { complaints, PHONE } from './browser.ts';
import { servedPages } from './served.ts';

const served = servedPages();
let server: RunningServer;
/** What the server was sent, in order. */
let files: Buffer[];

const atLabel: Answer = (message) =>
  message.photo
    ? { say: ['I read: made in May 2021. Right?'], asking: 'confirm', choices: [{ id: 'yes', text: 'Yes' }] }
    : { say: ['What does the label say?'], asking: 'label-limits', choices: [{ id: 'unsure', text: "I don't know" }] };

async function open(answer: Answer = atLabel) {
  files = [];
  server = await served.start({
    conversations: fakeConversations(answer),
    readPhoto: async (sent) => {
      files.push(...sent);
      return { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [] };
    },
  });
  const page = await (await served.browser.newContext(PHONE)).newPage();
  const heard = complaints(page);
  await page.goto(`${server.url}/?lang=en`);
  await button(page, 'Photo of the label').first().waitFor();
  await button(page, "I don't know").waitFor();
  return { page, heard };
}

/** As a phone's camera makes it: large, on its side, with the place it was taken. */
const aPhoto = () =>
  sharp({ create: { width: 3200, height: 1600, channels: 3, background: '#8899aa' } })
    .withMetadata({
      orientation: 6,
      exif: { IFD0: { Make: 'Wigglecam' }, IFD3: { GPSLatitude: '40/1 26/1 46/1', GPSLatitudeRef: 'N' } },
    })
    .jpeg({ quality: 60 })
    .toBuffer();

const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const chooses = (page: Page, buffer: Buffer, mimeType = 'image/jpeg') =>
  page.locator('input[type=file]:not([capture])').setInputFiles({ name: 'niño Ana.jpg', mimeType, buffer });

describe('a photo of the label', () => {
  it('is offered at the question of the label and at all times, to be taken or chosen, by keyboard too', async () => {
    const { page } = await open();
    await page.getByText('Photo of the label', { exact: true }).tap();
    const sheet = page.getByRole('dialog', { name: 'Photo of the label' });
    await sheet.getByText('The place where you took it is left out.').waitFor();
    expect(await axeProblems(page)).toEqual([]);
    const chooser = page.waitForEvent('filechooser');
    await button(page, 'Take a photo').tap();
    const asked = (await chooser).element() as ElementHandle<HTMLInputElement>;
    expect(await asked.evaluate((input) => [input.accept, input.getAttribute('capture')])).toEqual([
      'image/*',
      'environment',
    ]);
    await page.keyboard.press('Escape');
    await sheet.waitFor({ state: 'hidden' });
    const always = page.locator('.photo-button');
    await always.focus();
    await page.keyboard.press('Enter');
    await sheet.waitFor();
    await page.keyboard.press('Escape');
    expect(await always.evaluate((element) => element === document.activeElement)).toBe(true);
    expect(await always.getAttribute('aria-label')).toBe('Photo of the label');
  });

  it('is made smaller and drawn anew on the device, and stands in the thread, also when the family comes back', async () => {
    const { page, heard } = await open();
    await chooses(page, await aPhoto());
    await page.getByRole('log').getByText('I read: made in May 2021').waitFor();
    const [sent] = files;
    expect(await sharp(sent).metadata()).toMatchObject({ format: 'jpeg', width: 1200, height: 2400 });
    expect((await sharp(sent).metadata()).exif).toBeUndefined();
    expect(sent?.includes('Wigglecam')).toBe(false);
    expect(server.conversations.handled).toMatchObject([
      { text: 'photo.jpg', activityId: expect.stringMatching(/^c:photo-[0-9a-f]{24}$/) },
    ]);
    const item = page.getByRole('log').locator('.you');
    expect(await item.locator('img.preview').getAttribute('src')).toMatch(/^data:image\/jpeg/);
    expect(await item.textContent()).toBe('YouYour photoSent');
    await page.reload();
    await page.getByText('Your photo').waitFor();
    expect(await page.getByText('photo.jpg').count()).toBe(0);
    expect(heard).toEqual([]);
  });

  it('that cannot leave while offline says so, can be called off, and goes by itself later', async () => {
    const { page } = await open();
    await page.context().setOffline(true);
    await chooses(page, await aPhoto());
    await page.getByText('Not sent yet. Keep this page open.').waitFor();
    expect(await axeProblems(page)).toEqual([]);
    await button(page, 'Cancel').tap();
    await page.getByText('Your photo').waitFor({ state: 'detached' });
    await chooses(page, await aPhoto());
    await page.getByText('Not sent yet. Keep this page open.').waitFor();
    await page.context().setOffline(false);
    await page.getByRole('log').getByText('I read: made in May 2021').waitFor();
    expect([files.length, server.conversations.handled.length]).toEqual([1, 1]);
  });

  it('shows how far it is on its way, and then that it is read', async () => {
    const { page } = await open();
    const held = Promise.withResolvers<void>();
    await page.route('**/upload?*', async (route) => {
      await held.promise;
      await route.continue();
    });
    await chooses(page, await aPhoto());
    await page
      .getByRole('log')
      .getByText(/Sending the photo|Reading the photo/)
      .waitFor();
    expect(await page.locator('.choices').count()).toBe(0);
    held.resolve();
    await page.getByRole('log').getByText('I read: made in May 2021').waitFor();
    expect(
      await page
        .getByRole('log')
        .getByText(/Sending the photo|Reading the photo/)
        .count(),
    ).toBe(0);
  });
});

it('a file that is no photo, or one the server finds too large, is said to be so, and the talk goes on', async () => {
  const { page } = await open();
  await chooses(page, Buffer.from('hello'), 'text/plain');
  await page.getByRole('alert').getByText('That file is not a photo. Please choose a photo.').waitFor();
  await page.route('**/upload?*', (route) =>
    route.fulfill({ status: 413, json: { error: { code: 'MessageSizeTooBig' } } }),
  );
  await chooses(page, await aPhoto());
  await page.getByRole('alert').getByText('That photo is too large. Please choose a smaller one.').waitFor();
  expect(server.conversations.handled).toEqual([]);
  await button(page, "I don't know").tap();
  await page.getByRole('alert').waitFor({ state: 'detached' });
  await expect.poll(() => server.conversations.handled.length).toBe(1);
});
