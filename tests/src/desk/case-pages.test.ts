import { describe, expect, it } from 'vitest';
import { seedDemo } from '#src/demo/seed.ts';
import { aSummary, withPriority } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

/** A page's words in the order in which they are read. */
const textOf = (html: string): string =>
  html
    .replace(/<head>[\s\S]*?<\/head>/, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');

async function withDemo(language = 'en') {
  const desk = await openDesk({ language });
  await seedDemo(desk.store, { clock: () => desk.clock.now });
  const browser = await desk.signedIn();
  return { ...desk, browser, text: async (path: string) => textOf((await browser.get(path)).html) };
}

const inOrder = (text: string, parts: readonly string[]): void => {
  let at = 0;
  for (const part of parts) {
    const found = text.indexOf(part, at);
    expect(found, `"${part}" after "${text.slice(Math.max(0, at - 40), at)}"`).toBeGreaterThanOrEqual(0);
    at = found + part.length;
  }
};

describe('the list', () => {
  it('says what it is for while nobody has sent anything', async () => {
    const { signedIn } = await openDesk();
    expect(textOf((await (await signedIn()).get('/desk')).html)).toContain('No family has sent anything yet.');
  });

  it('has the pressing families first, each with what a technician plans by', async () => {
    const { text } = await withDemo();
    inOrder(await text('/desk'), [
      '7 families',
      'Before the next trip',
      'DEMO-5',
      'Lía',
      '10 months',
      'advised: rear-facing',
      'Spanish',
      'min',
      'things cannot wait',
      'See early',
      'DEMO-1',
      'Teddy',
      '2 years 6 months',
      'things at the visit',
      'to verify',
      'Routine',
      'DEMO-4',
      '3 years (36–47 months)',
      'advised for now: rear-facing',
      'Wants a person',
      'Not finished',
      'Nobody should be told to drive without a restraint.',
    ]);
  });

  it('comes in pages, each with the way to the next and back', async () => {
    const { store, signedIn } = await openDesk();
    for (let i = 0; i < 60; i++) {
      const summary = withPriority(i === 0 ? 'before-travel' : 'routine', {
        reference: `R-${String(i).padStart(2, '0')}`,
      });
      await store.conversations.commit(aTurn({ conversationId: `k${i}`, summary }));
    }
    const browser = await signedIn();
    const pages: string[][] = [];
    const shown: string[] = [];
    const turn = async (path: string, rel: 'next' | 'prev'): Promise<string | null> => {
      const { html } = await browser.get(path);
      pages.push([...html.matchAll(/>(R-\d\d)</g)].map(([, reference]) => reference ?? ''));
      shown.push(/\d+–\d+ of \d+/.exec(textOf(html))?.[0] ?? '');
      return new RegExp(`rel="${rel}" href="([^"]+)"`).exec(html)?.[1]?.replaceAll('&amp;', '&') ?? null;
    };
    let last = '';
    for (let path: string | null = '/desk'; path; path = await turn(path, 'next')) last = path;
    expect(pages.map((page) => page.length)).toEqual([25, 25, 10]);
    expect(pages[0]?.[0]).toBe('R-00');
    expect(new Set(pages.flat()).size).toBe(60);
    expect(shown).toEqual(['1–25 of 60', '26–50 of 60', '51–60 of 60']);
    for (let path: string | null = last; path; path = await turn(path, 'prev'));
    expect(pages.slice(3)).toEqual(pages.slice(0, 3).toReversed());
    expect(shown.slice(3)).toEqual(shown.slice(0, 3).toReversed());
  });

  it.each(['page=2', 'after=', 'after=x', 'after=routine~yesterday~R', 'before=~~', 'priority=none', 'finished=maybe'])(
    'passes over what is strange in its address: %s',
    async (query) => {
      const { browser } = await withDemo();
      const { status, html } = await browser.get(`/desk?${query}`);
      expect([status, html.match(/class="case /g)?.length]).toEqual([200, 7]);
    },
  );

  it.each([
    ['q=teddy', ['DEMO-1']],
    ['q=demo+10+months', []],
    ['q=demo+mirando', ['DEMO-5']],
    ['q=DEMO5', ['DEMO-5']],
    ['q=LIA', ['DEMO-5']],
    ['q=MIRANDO+adelante', ['DEMO-5']],
    ['q=mirando+teddy', []],
    ['q=%25', []],
    ['q=%22%3E%3Cscript%3E', []],
    ['q=%00%ED%A0%80', []],
    ['person=yes', ['DEMO-4']],
    ['finished=no', ['DEMO-4']],
    ['finished=no&priority=before-travel', []],
    ['event=none', []],
  ])('is narrowed by its address: %s', async (query, references) => {
    const { browser } = await withDemo();
    const { status, html } = await browser.get(`/desk?${query}`);
    expect(status).toBe(200);
    expect([...html.matchAll(/>(DEMO-\d)</g)].map(([, reference]) => reference)).toEqual(references);
    if (references.length === 0) expect(textOf(html)).toContain('No family matches. Show all families');
  });

  it('keeps the filter in the form and counts what is around it', async () => {
    const { browser } = await withDemo();
    const { html } = await browser.get('/desk?language=es&priority=before-travel&event=demo');
    expect(html).toContain('<option value="es" selected>Spanish</option>');
    expect(html).toContain('<option value="before-travel" selected>');
    expect(html).toContain('<option value="demo" selected>Demo seat check (invented)</option>');
    expect(textOf(html)).toContain('Filters (3 set)');
    expect(html).toMatch(
      /aria-current="true" href="\/desk\?language=es&amp;event=demo">Before the next trip <b>1<\/b>/,
    );
  });
});

describe('a case', () => {
  it('has what cannot wait at the top, then each child with the advice, then what to verify', async () => {
    const { text } = await withDemo();
    inOrder(
      await text('/desk/cases/DEMO-5'),
      [
        'Lía',
        'Before the next trip',
        'DEMO-5',
        'Cannot wait',
        'Seat does not offer this way of riding',
        'Compare the way it is installed with the modes on its label.',
        'Turned forward too soon',
        'forward-facing starts at 26.5 lb (12 kg)',
        'Children',
        '20 lb (9.1 kg)',
        'Rides now : forward-facing with harness',
        'Advised : rear-facing',
        'Settled by the facts given',
        'Room left',
        '15 lb (6.8 kg) · 3.5 in (8.9 cm)',
        'Verify first',
        'Seat 1 : expiry',
        'could mean: Seat is past its expiry',
        'Each child in detail',
        'Tether left off',
        'When the seat will be outgrown',
        'Weight limit, rear-facing',
        'Expected weight over the next two years',
        'Today 20 lb (9.1 kg).',
        'Limits on the label: rear-facing: 35 lb (15.9 kg).',
        'Local law (US-WA)',
        'Wash. Rev. Code',
        'The statute and the local authority decide',
        'Label, rear-facing',
        'weight 4 lb (1.8 kg) to 35 lb (15.9 kg); height up to 32 in (81.3 cm)',
        'Vehicle and where everyone sits',
        'Row 2',
        "In the caregiver's own words",
        'mirando hacia adelante, le gusta ver',
        'forward-facing with harness',
        "seat's manual",
      ].map((part) =>
        part.replace('Rides now :', 'Rides now').replace('Advised :', 'Advised').replace('Row 2', 'row 2'),
      ),
    );
  });

  it('gives the facts and the sources of each finding on demand', async () => {
    const { browser } = await withDemo();
    const { html } = await browser.get('/desk/cases/DEMO-1');
    const details = /<h4>Tether left off[\s\S]*?<details>([\s\S]*?)<\/details>/.exec(html)?.[1] ?? '';
    expect(textOf(details)).toMatch(/Facts and sources .*tether: not attached .*S-\d{3}: \S+/);
    expect(html).not.toContain('<details open');
  });

  it('is in Spanish for a desk in Spanish', async () => {
    const { text } = await withDemo('es');
    const words = await text('/desk/cases/DEMO-7');
    inOrder(words, [
      'No puede esperar',
      'La silla está caducada',
      'Niños',
      'Noor',
      '36 lb (16,3 kg)',
      'Comprobar primero',
      'Cada niño en detalle',
    ]);
    expect(words).not.toMatch(/Cannot wait|Verify first|Advised/);
  });

  it('names what is needed while the advice is not settled', async () => {
    const { text } = await withDemo();
    inOrder(await text('/desk/cases/DEMO-4'), [
      'The caregiver asked for a person.',
      'The interview is not finished',
      'Not settled yet',
      'Still possible: rear-facing',
      'Would settle it: weight',
    ]);
  });

  it('never calls a seat safe, and always shows the cautions', async () => {
    const { browser, store } = await withDemo();
    const { cases } = await store.cases.list({ pageSize: 50 });
    for (const { reference } of cases)
      for (const path of [`/desk/cases/${reference}`, `/desk/cases/${reference}/print`]) {
        const words = textOf((await browser.get(path)).html);
        expect(words).not.toMatch(/\bis safe\b|\bare safe\b|correctly installed/i);
        expect(words).toContain('not a substitute for');
        expect(words).not.toMatch(/undefined|NaN|\[object/);
      }
  });

  it('is printed on one sheet for each child, with room for what is measured', async () => {
    const { browser } = await withDemo();
    const { html } = await browser.get('/desk/cases/DEMO-7/print');
    expect(html.match(/<article class="sheet">/g)).toHaveLength(2);
    inOrder(textOf(html), [
      'Sheet 1 of 2',
      'Noor',
      'Cannot wait: Seat is past its expiry',
      'Sheet 2 of 2',
      'Sami',
      'Measured at the visit',
    ]);
  });

  it('is written down every time somebody looks at it', async () => {
    const { browser, store } = await withDemo();
    await browser.get('/desk/cases/DEMO-1');
    await browser.get('/desk/cases/DEMO-1/print');
    const seen = await store.audit.of('DEMO-1');
    const account = await store.accounts.byName('robin ash');
    expect(seen.map(({ action, accountId }) => [action, accountId])).toEqual(
      expect.arrayContaining([
        ['case-viewed', account?.id],
        ['case-printed', account?.id],
      ]),
    );
    expect(seen).toHaveLength(2);
  });

  it('that is not there, or cannot be read, is said to be so', async () => {
    const { browser, store } = await withDemo();
    const missing = await browser.get('/desk/cases/NONE');
    expect([missing.status, textOf(missing.html)]).toEqual([404, expect.stringContaining('There is no such case')]);
    const broken = { ...aSummary({ reference: 'BROKEN' }), createdAt: 'yesterday' };
    await store.conversations.commit(aTurn({ summary: broken }));
    const unreadable = await browser.get('/desk/cases/BROKEN');
    expect([unreadable.status, textOf(unreadable.html)]).toEqual([500, expect.stringContaining('cannot be read')]);
  });
});

describe('every page', () => {
  it.each([
    '/desk/sign-in',
    '/desk/first',
    '/desk',
    '/desk/cases/DEMO-1',
    '/desk/cases/DEMO-1/print',
    '/desk/cases/NONE',
  ])('loads nothing but our own files, and is kept by nobody: %s', async (path) => {
    const { browser, browse } = await withDemo();
    const { headers, html } = await (path.includes('sign-in') ? browse() : browser).get(path);
    expect(headers.get('content-security-policy')).toBe(
      "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    );
    expect(headers.get('content-type')).toBe('text/html; charset=utf-8');
    expect(headers.get('cache-control')).toBe('no-store');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    const addresses = [...html.matchAll(/(?:src|href|action)="([^"]*)"/g)].map(([, address]) => address ?? '');
    for (const address of addresses) expect(address).toMatch(/^\/desk|^#content$/);
    expect(html).not.toMatch(/style="/);
    for (const address of addresses.filter((one) => one.startsWith('/desk/assets/'))) {
      const file = await browser.get(address);
      expect(file.status, address).toBe(200);
      expect(file.headers.get('cache-control')).toContain('immutable');
    }
  });

  it('there is nothing beside the files of the desk', async () => {
    const { browser } = await withDemo();
    for (const path of [
      '/desk/assets/',
      '/desk/assets/..%2fpage.ts',
      '/desk/assets/desk.css',
      '/desk/assets/%2e%2e/page.ts',
    ])
      expect((await browser.get(path)).status, path).toBe(404);
  });
});
