import { describe, expect, it } from 'vitest';
import type { Store } from '#src/store/store.ts';
import { DATABASES, NOON, openOn } from './places.ts';

const HOUR = 60 * 60 * 1000;
const LATER = '2026-05-17T12:00:00.000Z';
const coordinator = { name: ' Robin Ash ', role: 'coordinator', passwordHash: 'scrypt…' } as const;

async function withAccount(store: Store) {
  await store.accounts.keepFirstLink('link', HOUR);
  const account = await store.accounts.addFirst('link', coordinator);
  if (account === 'refused') throw new Error('the first account was refused');
  return account;
}

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  describe('the first account', () => {
    it('spends its link', async () => {
      const store = await openOn(await aPlace());
      await store.accounts.keepFirstLink('link', HOUR);
      expect(await store.accounts.firstLinkIsOpen('link')).toBe(true);
      await withAccount(store);
      expect(await store.accounts.firstLinkIsOpen('link')).toBe(false);
      expect(await store.accounts.addFirst('link', { ...coordinator, name: 'Other' })).toBe('refused');
      expect(await store.accounts.count()).toBe(1);
    });

    it('is refused for an expired link, an unknown one, and one that a newer has replaced', async () => {
      const { accounts } = await openOn(await aPlace());
      await accounts.keepFirstLink('old', 0);
      expect(await accounts.firstLinkIsOpen('old')).toBe(false);
      expect(await accounts.addFirst('old', coordinator)).toBe('refused');
      await accounts.keepFirstLink('older', HOUR);
      await accounts.keepFirstLink('newer', HOUR);
      expect(await accounts.addFirst('older', coordinator)).toBe('refused');
      expect(await accounts.addFirst('guess', coordinator)).toBe('refused');
      expect(await accounts.count()).toBe(0);
    });

    it('is made once when two people open the link together', async () => {
      const place = await aPlace();
      const [one, two] = [await openOn(place), await openOn(place)];
      await one.accounts.keepFirstLink('link', HOUR);
      const made = await Promise.all([
        one.accounts.addFirst('link', coordinator),
        two.accounts.addFirst('link', { ...coordinator, name: 'Other' }),
      ]);
      expect(made.filter((outcome) => outcome === 'refused')).toHaveLength(1);
      expect(await two.accounts.count()).toBe(1);
    });
  });

  describe('an account', () => {
    it('is found however its name is typed', async () => {
      const store = await openOn(await aPlace());
      const account = await withAccount(store);
      expect(await store.accounts.byName('robin ash')).toEqual(account);
      expect(await store.accounts.byName('ＲＯＢＩＮ ASH ')).toEqual(account);
      expect(await store.accounts.byName('robin')).toBeNull();
    });
  });

  describe('wrong tries', () => {
    it('are counted by key, wait as long as they are told, until they are cleared or a day old', async () => {
      let now = NOON;
      const { guesses } = await openOn(await aPlace(), () => now);
      const delay = (failures: number) => (failures < 2 ? 0 : failures * 1000);
      expect(await guesses.count('a', delay)).toBe(0);
      expect(await guesses.count('a', delay)).toBe(2000);
      await guesses.count('b', delay);
      expect([await guesses.wait(['a', 'b']), await guesses.wait(['b']), await guesses.wait([])]).toEqual([2000, 0, 0]);
      await guesses.clear(['a']);
      expect([await guesses.wait(['a']), await guesses.count('a', delay)]).toEqual([0, 0]);
      now = new Date(LATER);
      expect(await guesses.count('b', delay)).toBe(2000);
      now = new Date(now.getTime() + 24 * HOUR + 1);
      expect(await guesses.count('b', delay)).toBe(0);
    });

    it('of several instances are counted together', async () => {
      const place = await aPlace();
      const [one, two] = [await openOn(place), await openOn(place)];
      const counted = await Promise.all([one, two, one, two].map(({ guesses }) => guesses.count('a', (n) => n)));
      expect(counted.toSorted()).toEqual([1, 2, 3, 4]);
    });
  });

  it('a form is kept for its person until its time is over', async () => {
    let now = NOON;
    const store = await openOn(await aPlace(), () => now);
    const { id } = await withAccount(store);
    const fields = new URLSearchParams([
      ['event', 'a&b='],
      ['event', 'ñ\n'],
    ]);
    await store.keptForms.keep('k', { accountId: id, path: '/desk/people', fields }, HOUR);
    const found = await store.keptForms.find('k');
    expect([found?.path, [...(found?.fields ?? [])]]).toEqual(['/desk/people', [...fields]]);
    now = new Date(NOON.getTime() + HOUR);
    expect(await store.keptForms.find('k')).toBeNull();
  });

  describe('a session', () => {
    it('ends when it is ended, and when its time is over', async () => {
      let now = NOON;
      const store = await openOn(await aPlace(), () => now);
      const { id } = await withAccount(store);
      await store.sessions.add('s1', id, HOUR);
      await store.sessions.add('s2', id, HOUR);
      expect(await store.sessions.find('s1')).toEqual({
        accountId: id,
        name: 'Robin Ash',
        role: 'coordinator',
        eventIds: null,
      });
      await store.sessions.end('s1');
      expect(await store.sessions.find('s1')).toBeNull();
      now = new Date('2026-05-16T12:59:59.999Z');
      expect(await store.sessions.find('s2')).not.toBeNull();
      now = new Date('2026-05-16T13:00:00.000Z');
      expect(await store.sessions.find('s2')).toBeNull();
    });
  });

  it('the audit keeps who did what to a case, in order', async () => {
    let now = NOON;
    const { audit } = await openOn(await aPlace(), () => now);
    await audit.note({ accountId: 'p1', action: 'case-viewed', subject: 'KV7-2QM' });
    now = new Date(LATER);
    await audit.note({ accountId: 'p2', action: 'case-printed', subject: 'KV7-2QM' });
    await audit.note({ accountId: 'p2', action: 'case-viewed', subject: 'OTHER' });
    expect(await audit.of('KV7-2QM')).toEqual([
      { at: NOON.toISOString(), accountId: 'p1', action: 'case-viewed', subject: 'KV7-2QM' },
      { at: LATER, accountId: 'p2', action: 'case-printed', subject: 'KV7-2QM' },
    ]);
  });

  it('the audit is read page by page, the latest first, under a filter', async () => {
    let now = NOON;
    const { audit } = await openOn(await aPlace(), () => now);
    for (let i = 0; i < 7; i++) {
      // Some at the same instant: the id parts them.
      now = new Date(NOON.getTime() + Math.floor(i / 3) * 1000);
      await audit.note({ accountId: i % 2 ? 'p1' : 'p2', action: 'case-viewed', subject: `R${i}` });
    }
    const seen: string[] = [];
    let page = await audit.list({ pageSize: 3 });
    for (;;) {
      seen.push(...page.rows.map(({ subject }) => subject ?? ''));
      if (!page.next) break;
      page = await audit.list({ pageSize: 3, after: page.next });
    }
    expect([seen.length, new Set(seen).size, seen[0]]).toEqual([7, 7, 'R6']);
    const of = async (filter: Parameters<typeof audit.list>[0]['filter']) =>
      (await audit.list({ pageSize: 9, ...(filter && { filter }) })).rows.length;
    const second = new Date(NOON.getTime() + 1000).toISOString();
    expect([await of({ accountId: 'p1' }), await of({ from: second }), await of({ until: second })]).toEqual([3, 4, 3]);
    expect([await of({ subject: 'R2' }), await of({ action: 'signed-in' })]).toEqual([1, 0]);
  });

  it('people are managed so that somebody who can lead is always left, also when two change at once', async () => {
    const place = await aPlace();
    const [one, two] = [await openOn(place), await openOn(place)];
    const { id } = await withAccount(one);
    const other = await one.people.add({ name: 'Kim', role: 'coordinator', eventIds: null, identity: 'issuer kim' });
    if (other === 'taken') throw new Error('taken');
    const outcomes = await Promise.all([one.people.setDisabled(id, true), two.people.setDisabled(other.id, true)]);
    expect(outcomes.toSorted()).toEqual(['changed', 'last-coordinator']);
    expect((await one.people.list()).filter(({ disabled }) => !disabled)).toHaveLength(1);
    expect(await one.people.add({ name: 'ＫＩＭ', role: 'technician', eventIds: [] })).toBe('taken');
    expect(await one.people.change('nobody', { role: 'technician', eventIds: null })).toBe('missing');
    expect(await one.people.byIdentity('issuer kim')).toMatchObject({ name: 'Kim', hasPassword: false });
  });

  it('an event is kept with its place and day', async () => {
    const { events } = await openOn(await aPlace());
    const event = {
      id: 'spring',
      name: 'Spring check',
      place: 'Depot',
      timeZone: 'America/Chicago',
      heldOn: '2026-05-23',
    };
    await events.add(event);
    expect(await events.byId('spring')).toMatchObject(event);
    expect(await events.byId('autumn')).toBeNull();
    expect(await events.list()).toMatchObject([event]);
  });
});
