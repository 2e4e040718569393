import { describe, expect, it } from 'vitest';
import { tokenHash } from '#src/desk/secrets.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type Browsing, type OpenDesk, openDesk } from './open-desk.ts';

/** The stream of a browser: the response, and the messages as they come; null at its end. */
async function listen(desk: OpenDesk, browser: Browsing) {
  const cookie = [...browser.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  const response = await fetch(`${desk.url}/desk/live`, { headers: { cookie } });
  const reader = response.body?.pipeThrough(new TextDecoderStream()).getReader();
  let kept = '';
  return {
    response,
    /** The next event with its data; the first line only says when to come back. */
    next: async (): Promise<{ event: string; data: unknown } | null> => {
      for (;;) {
        const whole = /^([\s\S]*?)\n\n/.exec(kept);
        if (whole) {
          kept = kept.slice(whole[0].length);
          const [, event, data] = /^event: (.+)\ndata: (.+)$/.exec(whole[1] ?? '') ?? [];
          if (event) return { event, data: JSON.parse(data ?? '') };
          continue;
        }
        const read = await reader?.read();
        if (!read || read.done) return null;
        kept += read.value;
      }
    },
  };
}

describe('the stream of changes', () => {
  it('is for people who are signed in', async () => {
    const desk = await openDesk();
    const { response, next } = await listen(desk, desk.browse());
    expect([response.status, await next()]).toEqual([401, null]);
  });

  it('names the families that are new or changed, and says nothing of them', async () => {
    const desk = await openDesk();
    const { response, next } = await listen(desk, await desk.signedIn());
    expect(response.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
    expect(response.headers.get('cache-control')).toBe('no-store');
    await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
    expect(await next()).toEqual({ event: 'cases', data: { references: ['KV7-2QM'] } });
    await desk.store.conversations.note(
      'k1',
      [{ id: 'n1', from: 'service', text: 'seen' }],
      '2026-05-16T09:31:00.000Z',
    );
    expect(await next()).toEqual({ event: 'cases', data: { references: ['KV7-2QM'] } });
    const gone = aTurn({ expectedVersion: 1, state: 'deleted', incoming: null, replyId: 'r2' });
    await desk.store.conversations.commit(gone);
    expect(await next()).toEqual({ event: 'cases', data: { references: [] } });
  });

  it('names the event whose board changed, to those who see that event alone', async () => {
    const desk = await openDesk();
    for (const id of ['spring', 'autumn'])
      await desk.store.events.add({ id, name: id, place: 'Yard', timeZone: 'UTC', heldOn: '2026-05-20' });
    const walkIn = { name: 'blue van', language: 'so', interpreter: false, minutes: 30, start: null };
    const [all, some] = [
      await listen(desk, await desk.signedIn()),
      await listen(desk, await desk.as('technician', ['autumn'])),
    ];
    await desk.store.arrivals.addWalkIn('spring', walkIn);
    expect(await all.next()).toEqual({ event: 'events', data: { ids: ['spring'] } });
    await desk.store.arrivals.addWalkIn('autumn', walkIn);
    expect(await all.next()).toEqual({ event: 'events', data: { ids: ['autumn'] } });
    expect(await some.next()).toEqual({ event: 'events', data: { ids: ['autumn'] } });
  });

  it('ends for every page of a session that signs out, and for no other', async () => {
    const desk = await openDesk();
    const browser = await desk.signedIn();
    const other = desk.browse();
    await other.send('/desk/sign-in', { name: 'Robin Ash', password: 'a calm green meadow' });
    const [first, second, third] = [
      await listen(desk, browser),
      await listen(desk, browser),
      await listen(desk, other),
    ];
    const { html } = await browser.get('/desk');
    await browser.post('/desk/sign-out', { token: /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '' });
    for (const { next } of [first, second])
      expect([await next(), await next()]).toEqual([{ event: 'signed-out', data: {} }, null]);
    await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
    expect(await third.next()).toMatchObject({ event: 'cases' });
  });

  it('tells nothing to a session that ended elsewhere, or has run out', async () => {
    const desk = await openDesk();
    const browser = await desk.signedIn();
    const { next } = await listen(desk, browser);
    await desk.store.sessions.end(tokenHash(browser.cookies.get('lapwing_desk') ?? ''));
    await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
    expect([await next(), await next()]).toEqual([{ event: 'signed-out', data: {} }, null]);
  });

  it('ends when the service stops, which takes no new one', async () => {
    const desk = await openDesk();
    const browser = await desk.signedIn();
    const { next } = await listen(desk, browser);
    desk.close();
    expect(await next()).toBeNull();
    expect((await listen(desk, browser)).response.status).toBe(503);
  });
});
