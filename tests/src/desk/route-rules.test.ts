import restify from 'restify';
import { describe, expect, it, onTestFinished } from 'vitest';
import { registerDesk } from '#src/desk/register-desk.ts';
import { ROUTE_RULES, ruleOf } from '#src/desk/route-rules.ts';
import { openStore } from '#src/store/open-store.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

const PROVIDER = {
  issuer: 'https://id.example.org',
  clientId: 'desk',
  clientSecret: 'secret',
  scopes: 'openid',
  roleClaim: null,
  roles: { coordinator: [], technician: [], 'read-only': [] },
};

/** Every route that the desk registers, as `GET /desk/…`. */
async function registered(): Promise<readonly string[]> {
  const clock = () => new Date('2026-05-16T12:00:00.000Z');
  const store = await openStore({ dataDir: ':memory:', clock });
  const server = restify.createServer({ name: '' });
  const desk = registerDesk(server, { store, words: createWords(), clock, publicUrl: null, provider: PROVIDER });
  onTestFinished(async () => {
    desk.close();
    await store.close();
  });
  const { routes } = server.getDebugInfo() as { routes: { method: string; path: string }[] };
  return routes.map(({ method, path }) => `${method.toUpperCase()} ${path}`);
}

const split = (route: string): [string, string] => route.split(' ') as [string, string];

describe('the rules of the routes', () => {
  it('hold one line for every route of the desk, and none for a route that is not there', async () => {
    const routes = await registered();
    expect(routes.length).toBeGreaterThan(20);
    expect(routes.filter((route) => ruleOf(...split(route)) === null)).toEqual([]);
    expect(Object.keys(ROUTE_RULES).filter((rule) => !routes.includes(rule))).toEqual([]);
  });

  it('let nobody who is not signed in past more than the ways in, and the private link of a family', async () => {
    const open = Object.entries(ROUTE_RULES).filter(([, { needs }]) => needs === 'anyone');
    expect(
      open
        .map(([route]) => split(route)[1])
        .filter(
          (path) => !/^\/(?:desk\/(?:sign-|first|password|oidc)|(?:take-home|team-calendar)\/:token$)/.test(path),
        ),
    ).toEqual([]);
  });

  it('let read-only accounts post nothing', () => {
    const posts = Object.entries(ROUTE_RULES).filter(([route]) => route.startsWith('POST'));
    expect(posts.filter(([, { needs }]) => needs === 'look').map(([route]) => route)).toEqual([]);
  });

  it('tie every address of a case or of an event to who sees it', () => {
    const loose = Object.entries(ROUTE_RULES).filter(
      ([route, { about }]) => /\/(?:cases|events)\/:/.test(route) && about === undefined,
    );
    expect(loose).toEqual([]);
  });

  it('know no name that is not written there', () => {
    expect(ruleOf('GET', '/desk/constructor')).toBeNull();
    expect(ruleOf('GET', '__proto__')).toBeNull();
    expect(ruleOf('HEAD', '/desk')).toEqual(ruleOf('GET', '/desk'));
  });
});

describe('every route, asked for by', () => {
  const address = (path: string) => path.replace(':reference', 'KV7-2QM').replace(/:\w+/, 'spring');
  const kept = Object.entries(ROUTE_RULES).filter(([, { needs }]) => needs !== 'anyone');

  async function withCase() {
    const desk = await openDesk();
    await desk.store.conversations.commit(aTurn({ eventId: 'spring', summary: aSummary({ event: 'spring' }) }));
    return desk;
  }

  it('somebody who is not signed in, leads to signing in or is refused', async () => {
    const desk = await withCase();
    for (const [route, { answers }] of kept) {
      const [method, path] = split(route);
      const browser = desk.browse();
      const answer = method === 'GET' ? await browser.get(address(path)) : await browser.post(address(path), {});
      expect([route, answer.status]).toEqual([route, answers === 'data' ? 401 : 303]);
      if (answers !== 'data') expect(answer.headers.get('location')).toMatch(/^\/desk\/sign-in\?next=/);
    }
  });

  it('an account that may not, is refused with a page that says why, and writes down that it was', async () => {
    const desk = await withCase();
    const browsers = { 'read-only': await desk.as('read-only'), technician: await desk.as('technician') };
    const { token } = {
      token: /name="token" value="([^"]+)"/.exec((await browsers.technician.get('/desk')).html)?.[1],
    };
    for (const [route, { needs, answers }] of kept)
      for (const [role, browser] of Object.entries(browsers)) {
        if (needs === 'look' || (needs === 'work' && role === 'technician')) continue;
        const [method, path] = split(route);
        const answer =
          method === 'GET'
            ? await browser.get(address(path))
            : await browser.post(address(path), { token: token ?? '' });
        expect([route, role, answer.status]).toEqual([route, role, 403]);
        if (answers !== 'data') expect(answer.html).toContain('Your account may not do this');
      }
    const since = await desk.store.audit.list({ pageSize: 500 });
    expect(since.rows.some(({ action }) => action === 'refused')).toBe(true);
  });

  it('an account of another event, is answered as if there were no such family', async () => {
    const desk = await withCase();
    const [of, other] = [await desk.as('technician', ['spring']), await desk.as('technician', ['autumn'])];
    for (const [route, { about, needs }] of kept) {
      const [method, path] = split(route);
      // Coordinators see every event, so that others are told who they are before.
      if (!about || needs === 'coordinate' || method !== 'GET') continue;
      expect([route, (await other.get(address(path))).status]).toEqual([route, 404]);
      expect([route, (await of.get(address(path))).status]).not.toEqual([route, 403]);
    }
    expect((await other.get('/desk')).html).not.toContain('KV7-2QM');
    expect((await of.get('/desk')).html).toContain('KV7-2QM');
    expect((await other.get('/desk?q=KV7-2QM')).html).not.toContain('/desk/cases/KV7-2QM');
    expect((await other.get('/desk?event=spring')).html).not.toContain('/desk/cases/KV7-2QM');
  });
});
