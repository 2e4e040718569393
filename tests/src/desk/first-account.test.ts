import { describe, expect, it } from 'vitest';
import { firstRunLink } from '#src/desk/first-run.ts';
import { NAME, openDesk, PASSWORD } from './open-desk.ts';

const good = { name: NAME, password: PASSWORD, again: PASSWORD };
const DAY_MS = 24 * 60 * 60 * 1000;

async function withLink() {
  const desk = await openDesk();
  const link = await firstRunLink(desk.store, 'https://desk.example.org/');
  const { pathname, search } = new URL(link ?? '');
  return { ...desk, link, path: pathname + search };
}

describe('the first sign-in link', () => {
  it('lets the first coordinator choose a name and a password, and signs them in', async () => {
    const { browse, path, link, store } = await withLink();
    expect(link).toMatch(/^https:\/\/desk\.example\.org\/desk\/first\?token=[\w-]{43}$/);
    const browser = browse();
    const sent = await browser.send(path, good);
    expect([sent.status, sent.headers.get('location')]).toEqual([303, '/desk']);
    expect((await browser.get('/desk')).html).toContain(`Signed in: ${NAME}`);
    expect((await store.accounts.byName(NAME))?.role).toBe('coordinator');
  });

  it('works once, and there is none any more', async () => {
    const { browse, path, store, url } = await withLink();
    await browse().send(path, good);
    expect((await browse().get(path)).status).toBe(410);
    expect((await browse().send(path, { ...good, name: 'Somebody Else' })).status).not.toBe(303);
    expect(await store.accounts.count()).toBe(1);
    expect(await firstRunLink(store, url)).toBeNull();
  });

  it('does not work after a day, with another token, or once a newer one was printed', async () => {
    const { browse, path, store, url, clock } = await withLink();
    expect((await browse().get('/desk/first')).status).toBe(410);
    expect((await browse().get(`/desk/first?token=${'A'.repeat(43)}`)).status).toBe(410);
    clock.now = new Date(clock.now.getTime() + DAY_MS);
    expect((await browse().get(path)).status).toBe(410);
    const newer = new URL((await firstRunLink(store, url)) ?? '');
    expect((await browse().get(newer.pathname + newer.search)).status).toBe(200);
    expect((await browse().get(path)).status).toBe(410);
  });

  it.each([
    ['no name', { name: '  ' }, 'Enter a name'],
    ['a name that is too long', { name: 'x'.repeat(81) }, 'Enter a name'],
    ['a short password', { password: 'fourteen chars', again: 'fourteen chars' }, 'at least 15'],
    ['a password without end', { password: 'x'.repeat(201), again: 'x'.repeat(201) }, 'at most 200'],
    ['a common password', { password: 'passwordpassword', again: 'passwordpassword' }, 'harder to guess'],
    ['the name as password', { name: 'robin ash of old', password: 'Robin Ash of old' }, 'not your name'],
    ['two passwords', { again: `${PASSWORD}!` }, 'not the same'],
  ])('asks again for %s, and keeps the name that was typed', async (_, wrong, text) => {
    const { browse, path, store } = await withLink();
    const sent = await browse().send(path, { ...good, ...wrong });
    expect(sent.status).toBe(422);
    expect(sent.html).toContain(text);
    expect(sent.html).toContain('aria-invalid="true" aria-describedby="problem"');
    expect(sent.html).toContain(`value="${{ ...good, ...wrong }.name}"`);
    expect(sent.html).not.toContain(PASSWORD);
    expect(await store.accounts.count()).toBe(0);
  });
});
