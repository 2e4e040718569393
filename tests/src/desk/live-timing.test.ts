import type { Response } from 'restify';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { createLive } from '#src/desk/live.ts';

/** A hub on a clock that stands still until a test moves it, with one session and everything that a stream is sent. */
function aHub() {
  vi.useFakeTimers();
  onTestFinished(() => {
    vi.useRealTimers();
  });
  let change: (conversationId: string) => void = () => {};
  const person = { accountId: 'a', name: 'Robin', role: 'coordinator', eventIds: null } as const;
  const state = { holds: true, broken: false, eventIds: null as readonly string[] | null };
  const live = createLive({
    conversations: {
      watch: (listener: typeof change) => {
        change = listener;
        return () => {};
      },
    } as never,
    cases: {
      referencesOf: async (id: string) => (id.startsWith('k') ? [`R-${id}`] : []),
      eventOf: async (reference: string) => ({ eventId: reference === 'R-k1' ? 'spring' : null }),
    } as never,
    sessions: {
      find: async () => {
        if (state.broken) throw new Error('no store');
        return state.holds ? { ...person, eventIds: state.eventIds } : null;
      },
    } as never,
  });
  const stream = () => {
    const sent: string[] = [];
    const res = { writeHead: vi.fn(), write: (text: string) => sent.push(text), on: vi.fn(), end: vi.fn() };
    return { sent, ended: () => res.end.mock.calls.length > 0, opened: live.open(res as unknown as Response, 's') };
  };
  return { live, stream, state, change: (id: string) => change(id) };
}

const told = (sent: readonly string[]) => sent.filter((text) => text.startsWith('event: cases'));

describe('the hub of the streams', () => {
  it('tells changes close together at once, each family once', async () => {
    const { stream, change } = aHub();
    const { sent } = stream();
    for (const id of ['k1', 'k2', 'k1', 'x']) change(id);
    await vi.advanceTimersByTimeAsync(1000);
    expect(told(sent)).toEqual(['event: cases\ndata: {"references":["R-k1","R-k2"]}\n\n']);
  });

  it('names to somebody who sees some events only families of those, and says nothing where there is none', async () => {
    const { stream, change, state } = aHub();
    state.eventIds = ['spring'];
    const { sent } = stream();
    change('k2');
    await vi.advanceTimersByTimeAsync(1000);
    expect(told(sent)).toEqual([]);
    for (const id of ['k1', 'k2']) change(id);
    await vi.advanceTimersByTimeAsync(1000);
    expect(told(sent)).toEqual(['event: cases\ndata: {"references":["R-k1"]}\n\n']);
  });

  it('names no family when a great many have changed', async () => {
    const { stream, change } = aHub();
    const { sent } = stream();
    for (let i = 0; i < 200; i++) change(`k${i}`);
    await vi.advanceTimersByTimeAsync(1000);
    expect(told(sent)).toEqual(['event: cases\ndata: {"references":[]}\n\n']);
  });

  it('shows that it is alive, and lets pages look for themselves once a minute', async () => {
    const { stream } = aHub();
    const { sent } = stream();
    await vi.advanceTimersByTimeAsync(60_000);
    expect(sent.slice(1)).toEqual([':\n\n', ':\n\n', ':\n\n', 'event: cases\ndata: {"references":[]}\n\n']);
  });

  it('notices within a beat that a session has run out', async () => {
    const { stream, state } = aHub();
    const one = stream();
    state.holds = false;
    await vi.advanceTimersByTimeAsync(15_000);
    expect([one.ended(), told(one.sent)]).toEqual([true, []]);
  });

  it('ends the streams when the store cannot be asked', async () => {
    const { stream, state, change } = aHub();
    const one = stream();
    state.broken = true;
    change('k1');
    await vi.advanceTimersByTimeAsync(1000);
    expect(one.ended()).toBe(true);
  });

  it('takes no more streams than it can serve', () => {
    const { stream } = aHub();
    const opened = Array.from({ length: 201 }, () => stream().opened);
    expect(opened.filter(Boolean)).toHaveLength(200);
    expect(opened.at(-1)).toBe(false);
  });
});
