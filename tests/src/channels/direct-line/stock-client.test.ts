// The published client library of Direct Line, botframework-directlinejs 0.15.8, against the real server.
import { type Activity, ConnectionStatus, DirectLine } from 'botframework-directlinejs';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { fakeConversations } from '../../support/fake-conversations.ts';
import { type RunningServer, startServer } from '../../support/start-server.ts';
import { FetchXhr } from '../../support/xhr.ts';

beforeAll(() => {
  Object.assign(globalThis, { XMLHttpRequest: FetchXhr });
});
afterAll(() => {
  Reflect.deleteProperty(globalThis, 'XMLHttpRequest');
});

let server: RunningServer;
let client: DirectLine;
afterEach(async () => {
  client.end();
  await server.stop();
});

interface Seen {
  readonly role: string | undefined;
  readonly text: string;
}

/** Everything the client shows, in order, and a way to wait for a number of lines. */
function watch(line: DirectLine) {
  const seen: Seen[] = [];
  const activities: Activity[] = [];
  let wake = () => {};
  const subscription = line.activity$.subscribe((activity: Activity) => {
    activities.push(activity);
    seen.push({ role: activity.from.role, text: (activity as { text?: string }).text ?? '' });
    wake();
  });
  const count = async (lines: number) => {
    while (seen.length < lines) {
      await new Promise<void>((resolve) => {
        wake = resolve;
      });
    }
  };
  return { seen, activities, count, stop: () => subscription.unsubscribe() };
}

const say = (line: DirectLine, text: string) =>
  new Promise<string>((resolve, reject) => {
    line.postActivity({ type: 'message', from: { id: 'u1' }, text } as Activity).subscribe(resolve, reject);
  });

describe.each([
  ['polling', false],
  ['a WebSocket', true],
])('botframework-directlinejs over %s', (_way, webSocket) => {
  it('holds a conversation', async () => {
    const conversations = fakeConversations((message, turn) =>
      turn === 0
        ? { say: ['Hello.', 'How is the child riding?'], choices: [{ id: 'rear-facing', text: 'Rear-facing' }] }
        : { say: [`You wrote: ${message.text}`] },
    );
    server = await startServer({ conversations });
    client = new DirectLine({ domain: `${server.url}/v3/directline`, webSocket, pollingInterval: 200 });
    const thread = watch(client);
    await thread.count(1);
    expect(client.connectionStatus$.getValue()).toBe(ConnectionStatus.Online);
    expect(thread.activities[0]).toMatchObject({
      text: 'Hello.\n\nHow is the child riding?',
      suggestedActions: { actions: [{ type: 'imBack', value: 'Rear-facing' }] },
    });
    const first = await say(client, 'Rear-facing');
    await thread.count(3);
    await say(client, '14 kg');
    await thread.count(5);
    expect(thread.seen.slice(1)).toEqual([
      { role: 'user', text: 'Rear-facing' },
      { role: 'bot', text: 'You wrote: Rear-facing' },
      { role: 'user', text: '14 kg' },
      { role: 'bot', text: 'You wrote: 14 kg' },
    ]);
    expect(thread.activities[1]?.id).toBe(first);
    thread.stop();
  });

  it('goes on with a conversation taken up by its token and id', async () => {
    server = await startServer();
    const opened = await fetch(`${server.url}/v3/directline/conversations`, { method: 'POST' });
    const { token, conversationId } = (await opened.json()) as { token: string; conversationId: string };
    client = new DirectLine({
      domain: `${server.url}/v3/directline`,
      token,
      conversationId,
      watermark: '0',
      webSocket,
      pollingInterval: 200,
    });
    const thread = watch(client);
    await thread.count(1);
    await say(client, 'here again');
    await thread.count(3);
    expect(thread.seen.at(-1)?.text).toBe('You wrote: here again\n\nWhat else?');
    thread.stop();
  });

  it('hears what a technician writes in between', async () => {
    server = await startServer();
    client = new DirectLine({ domain: `${server.url}/v3/directline`, webSocket, pollingInterval: 200 });
    const thread = watch(client);
    await thread.count(1);
    const { conversationId } = client as unknown as { conversationId: string };
    server.conversations.technicianWrites(conversationId, 'Please bring the base.');
    await thread.count(2);
    expect(thread.seen[1]).toEqual({ role: 'bot', text: 'Please bring the base.' });
    thread.stop();
  });
});
