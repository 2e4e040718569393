import type { AddressInfo } from 'node:net';
import restify from 'restify';
import { onTestFinished } from 'vitest';
import type { DeskDeps } from '#src/desk/deps.ts';
import { firstRunLink } from '#src/desk/first-run.ts';
import { registerDesk } from '#src/desk/register-desk.ts';
import { newToken, tokenHash } from '#src/desk/secrets.ts';
import type { Role } from '#src/store/accounts.ts';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';
import { createWords } from '#src/words/words.ts';

export const NAME = 'Robin Ash';
export const PASSWORD = 'a calm green meadow';

export interface Answer {
  readonly status: number;
  readonly headers: Headers;
  readonly html: string;
}

/** A browser without scripts: it keeps cookies, and sends the hidden fields of the form it was given. */
export interface Browsing {
  readonly cookies: Map<string, string>;
  get(path: string, headers?: Readonly<Record<string, string>>): Promise<Answer>;
  post(path: string, fields: Readonly<Record<string, string>>): Promise<Answer>;
  /** Loads a page, fills its form and sends it to where the form says. */
  send(path: string, fields: Readonly<Record<string, string>>): Promise<Answer>;
}

export interface OpenDesk {
  readonly store: Store;
  readonly url: string;
  readonly clock: { now: Date };
  /** Ends the open streams, as the service does when it stops. */
  close(): void;
  browse(headers?: Readonly<Record<string, string>>): Browsing;
  /** Makes the first account; gives a browser that is signed in. */
  signedIn(): Promise<Browsing>;
  /** Gives a browser that is signed in to a new account of that role, and the account's id. */
  as(role: Role, eventIds?: readonly string[] | null): Promise<Browsing & { readonly accountId: string }>;
}

const hiddenFields = (html: string): Record<string, string> =>
  Object.fromEntries(
    [...html.matchAll(/<input type="hidden" name="(\w+)" value="([^"]*)">/g)].map(([, name, value]) => [name, value]),
  );

function browsing(url: string, always: Readonly<Record<string, string>> = {}): Browsing {
  const cookies = new Map<string, string>();
  const load = async (path: string, init: RequestInit): Promise<Answer> => {
    const cookie = [...cookies].map(([name, value]) => `${name}=${value}`).join('; ');
    const response = await fetch(url + path, {
      redirect: 'manual',
      ...init,
      headers: { cookie, ...always, ...init.headers },
    });
    for (const line of response.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? [];
      if (line.includes('Max-Age=0')) cookies.delete(name);
      else cookies.set(name, value);
    }
    return { status: response.status, headers: response.headers, html: await response.text() };
  };
  const browser: Browsing = {
    cookies,
    get: (path, headers = {}) => load(path, { headers }),
    post: (path, fields) => load(path, { method: 'POST', body: new URLSearchParams(fields) }),
    send: async (path, fields) => {
      const { html } = await browser.get(path);
      const action = /<form method="post" action="([^"]+)" class="fields[" ]/.exec(html)?.[1] ?? path;
      return browser.post(action, { ...hiddenFields(html), ...fields });
    },
  };
  return browser;
}

type Options = Partial<Pick<DeskDeps, 'language' | 'sessions' | 'trustedProxies' | 'provider'>> & {
  readonly publicUrl?: string;
  readonly port?: number;
};

/** The real desk on a free loopback port over a database in memory, with a clock that a test can turn. */
export async function openDesk(options: Options = {}): Promise<OpenDesk> {
  const time = { now: new Date('2026-05-16T12:00:00.000Z') };
  const clock = () => time.now;
  const store = await openStore({ dataDir: ':memory:', clock });
  const server = restify.createServer({ name: '' });
  const desk = registerDesk(server, {
    store,
    words: createWords(),
    clock,
    publicUrl: options.publicUrl ?? null,
    ...options,
  });
  await new Promise<void>((resolve) => server.listen(options.port ?? 0, '127.0.0.1', () => resolve()));
  onTestFinished(async () => {
    desk.close();
    await new Promise<void>((resolve) => server.close(() => resolve()));
    await store.close();
  });
  let accounts = 0;
  const url = `http://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
  return {
    store,
    url,
    clock: time,
    close: desk.close,
    browse: (headers) => browsing(url, headers),
    signedIn: async () => {
      const browser = browsing(url);
      const link = new URL((await firstRunLink(store, url)) ?? 'none:');
      await browser.send(link.pathname + link.search, { name: NAME, password: PASSWORD, again: PASSWORD });
      return browser;
    },
    as: async (role, eventIds = null) => {
      const person = await store.people.add({ name: `${role} ${++accounts}`, role, eventIds });
      if (person === 'taken') throw new Error('the name is taken');
      const token = newToken();
      await store.sessions.add(tokenHash(token), person.id, 60 * 60 * 1000);
      const browser = browsing(url);
      browser.cookies.set('lapwing_desk', token);
      return { ...browser, accountId: person.id };
    },
  };
}
