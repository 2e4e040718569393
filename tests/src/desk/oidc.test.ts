import { describe, expect, it, onTestFinished } from 'vitest';
import { roleIn } from '#src/desk/identity-provider.ts';
import { type Browsing, NAME, type OpenDesk, openDesk, PASSWORD } from './open-desk.ts';
import { type OpenProvider, openProvider } from './openid-provider.ts';

const PUBLIC = 'http://desk.example.org';
const BACK = `${PUBLIC}/desk/oidc/back`;

/** The desk with a real provider beside it. Both sides see the desk under its public address. */
async function withProvider(): Promise<{ desk: OpenDesk; provider: OpenProvider }> {
  const provider = await openProvider(BACK);
  onTestFinished(() => provider.stop().catch(() => {}));
  const desk = await openDesk({ publicUrl: PUBLIC, provider: provider.settings });
  return { desk, provider };
}

/** Goes to the provider as a browser does, presses the button there, and gives the address it sends the browser back to. */
async function throughProvider(start: string): Promise<string> {
  const cookies = new Map<string, string>();
  let [address, method] = [start, 'GET'];
  for (let step = 0; step < 8; step++) {
    const cookie = [...cookies].map(([name, value]) => `${name}=${value}`).join('; ');
    const answer = await fetch(address, { method, redirect: 'manual', headers: { cookie } });
    for (const line of answer.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? [];
      cookies.set(name, value);
    }
    const location = answer.headers.get('location');
    if (location === null) {
      method = 'POST';
      continue;
    }
    method = 'GET';
    address = new URL(location, address).href;
    if (address.startsWith(PUBLIC)) return address.slice(PUBLIC.length);
  }
  throw new Error('the provider never sent the browser back');
}

async function begin(browser: Browsing, path = '/desk/oidc'): Promise<string> {
  const started = await browser.get(path);
  expect(started.status).toBe(303);
  return started.headers.get('location') ?? '';
}

const signIn = async (browser: Browsing, path?: string) =>
  browser.get(await throughProvider(await begin(browser, path)));

describe('signing in through an OpenID provider', () => {
  it('lets in whom the claim gives a role, under that role, and leads to the page that was asked for', async () => {
    const { desk, provider } = await withProvider();
    provider.person = { sub: 'u1', name: 'Sam', groups: ['staff', 'seat-technicians'] };
    const sam = desk.browse();
    expect((await sam.get('/desk/sign-in?next=/desk/cases/KV7-2QM')).html).toContain(
      'href="/desk/oidc?next=%2Fdesk%2Fcases%2FKV7-2QM"',
    );
    const back = await signIn(sam, '/desk/oidc?next=%2Fdesk%2Fcases%2FKV7-2QM');
    expect([back.status, back.headers.get('location')]).toEqual([303, '/desk/cases/KV7-2QM']);
    expect((await sam.get('/desk')).html).toContain('Signed in: Sam');
    expect((await sam.get('/desk/people')).status).toBe(403);

    provider.person = { sub: 'u1', name: 'Sam', groups: ['seat-leads'] };
    const again = desk.browse();
    await signIn(again);
    expect((await again.get('/desk/people')).status).toBe(200);
    expect(await desk.store.people.list()).toMatchObject([{ name: 'Sam', role: 'coordinator', hasPassword: false }]);
    const anyPassword = await desk.browse().send('/desk/sign-in', { name: 'Sam', password: '' });
    expect(anyPassword.status).toBe(401);
  });

  it('asks with PKCE, state and nonce, and keeps what proves them in a cookie that scripts cannot read', async () => {
    const { desk } = await withProvider();
    const browser = desk.browse();
    const started = await browser.get('/desk/oidc');
    const asked = new URL(started.headers.get('location') ?? '').searchParams;
    expect(asked.get('code_challenge_method')).toBe('S256');
    for (const name of ['state', 'nonce', 'code_challenge']) expect(asked.get(name)?.length).toBeGreaterThan(40);
    expect(started.headers.getSetCookie().join()).toMatch(
      /lapwing_oidc=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Max-Age=600/,
    );
    expect(browser.cookies.get('lapwing_oidc')).not.toBe(asked.get('state'));
  });

  it('turns away whom nobody invited, and lets them in by an invitation, for good', async () => {
    const { desk } = await withProvider();
    const lead = await desk.signedIn();
    const stranger = desk.browse();
    const turned = await signIn(stranger);
    expect([turned.status, turned.html.includes('You have no account at this desk')]).toEqual([403, true]);
    expect(await desk.store.people.list()).toHaveLength(1);

    const made = await lead.send('/desk/people', { name: 'Sam of the fire station', role: 'read-only' });
    const link = new URL(/value="(http[^"]+\/desk\/password\?token=[^"]+)"/.exec(made.html)?.[1] ?? '');
    const page = await stranger.get(link.pathname + link.search);
    const tie = /href="(\/desk\/oidc\?invitation=[^"]+)"/.exec(page.html)?.[1] ?? '';
    expect((await begin(desk.browse(), tie)).includes(link.searchParams.get('token') ?? 'none')).toBe(false);
    expect((await signIn(stranger, tie)).status).toBe(303);
    expect((await stranger.get('/desk')).html).toContain('Signed in: Sam of the fire station');
    const later = desk.browse();
    expect((await signIn(later)).status).toBe(303);
    expect((await desk.browse().get(link.pathname + link.search)).status).toBe(410);
  });

  it('never takes a name for proof: whoever has the name of an account gets another one', async () => {
    const { desk, provider } = await withProvider();
    await desk.signedIn();
    provider.person = { sub: 'u9', name: NAME, groups: ['seat-technicians'] };
    const other = desk.browse();
    await signIn(other);
    expect((await desk.store.people.list()).map(({ name, role }) => [name, role])).toEqual([
      [NAME, 'coordinator'],
      [`${NAME} (2)`, 'technician'],
    ]);
  });

  it('refuses a state that was altered, belongs to another browser or is too old, and a code used twice', async () => {
    const { desk, provider } = await withProvider();
    provider.person = { sub: 'u1', name: 'Sam', groups: ['seat-leads'] };
    const refused = async (browser: Browsing, path: string) => {
      const answer = await browser.get(path);
      expect(answer.status).toBe(400);
      expect((await browser.get('/desk')).status).toBe(303);
    };
    const one = desk.browse();
    const path = await throughProvider(await begin(one));
    const query = new URLSearchParams(path.split('?')[1]);
    const altered = new URLSearchParams(query);
    altered.set('state', `${query.get('state')?.slice(0, -2)}xx`);
    const cookie = one.cookies.get('lapwing_oidc') ?? '';
    await refused(one, `/desk/oidc/back?${altered}`);
    await refused(desk.browse(), path);
    const other = desk.browse();
    await begin(other);
    await refused(other, path);

    one.cookies.set('lapwing_oidc', cookie);
    expect((await one.get(path)).status).toBe(303);
    const copy = desk.browse();
    copy.cookies.set('lapwing_oidc', cookie);
    await refused(copy, path);

    const slow = desk.browse();
    const late = await throughProvider(await begin(slow));
    desk.clock.now = new Date(desk.clock.now.getTime() + 10 * 60_000);
    await refused(slow, late);
    await refused(desk.browse(), '/desk/oidc/back?error=access_denied&state=x');
  });

  it('says so where the provider does not answer, and passwords still work', async () => {
    const { desk, provider } = await withProvider();
    await desk.signedIn();
    await provider.stop();
    const browser = desk.browse();
    const away = await browser.get('/desk/oidc?next=/desk');
    expect([away.status, away.html.includes('does not answer at the moment')]).toEqual([503, true]);
    expect((await browser.send('/desk/sign-in', { name: NAME, password: PASSWORD })).status).toBe(303);
  });

  it('lets nobody in whose account is closed', async () => {
    const { desk, provider } = await withProvider();
    await desk.signedIn();
    provider.person = { sub: 'u1', name: 'Sam', groups: ['seat-technicians'] };
    await signIn(desk.browse());
    const sam = (await desk.store.people.list()).find(({ name }) => name === 'Sam');
    await desk.store.people.setDisabled(sam?.id ?? '', true);
    expect((await signIn(desk.browse())).status).toBe(403);
  });
});

it('the claim gives the highest role it names, also where it is a single text, and none by accident', () => {
  const roles = { coordinator: ['lead'], technician: ['tech'], 'read-only': ['guest'] };
  const of = (claims: object, roleClaim: string | null = 'groups') => roleIn({ ...claims }, { roleClaim, roles });
  expect(of({ groups: ['guest', 'lead', 'tech'] })).toBe('coordinator');
  expect(of({ groups: 'tech' })).toBe('technician');
  for (const groups of [undefined, [], ['leaders'], { lead: true }, [['lead']], null])
    expect(of({ groups })).toBeNull();
  expect(of({ groups: ['lead'] }, null)).toBeNull();
});
