import { Agent, createServer, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { conversationName } from './conversation-names.ts';
import type { Script } from './script.ts';

/** A connector service that takes every activity, and can show the last one of a conversation. */
export async function openConnector() {
  const last = new Map<string, string>();
  const server = createServer((req, res) => {
    const chunks: Buffer[] = [];
    req.on('data', (chunk: Buffer) => chunks.push(chunk));
    req.on('end', () => {
      res.writeHead(200, { 'Content-Type': 'application/json' });
      res.end('{"id":"r"}');
      last.set(decodeURIComponent(req.url?.split('/')[3] ?? ''), Buffer.concat(chunks).toString());
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    /** Takes the last activity that was posted into a conversation. */
    take: (conversation: string): { readonly text?: string; readonly channelData?: unknown } => {
      const text = last.get(conversation) ?? '{}';
      last.delete(conversation);
      return JSON.parse(text);
    },
    close: () => {
      server.closeAllConnections();
      server.close();
    },
  };
}

/** An intake has run as it was written when its last answer was heard as the last. */
export function assertEnded({ channelData }: ReturnType<Connector['take']>): void {
  const { lapwing } = (channelData ?? {}) as { lapwing?: { asking: string | null } };
  if (lapwing?.asking !== 'anything-else' && lapwing?.asking !== null)
    throw new Error(`an intake ended at ${lapwing?.asking}`);
}

export type Connector = Awaited<ReturnType<typeof openConnector>>;

/** Posts one activity to a bot; resolves with the milliseconds until it is answered. */
function post(agent: Agent, url: string, activity: object): Promise<number> {
  const body = Buffer.from(JSON.stringify(activity));
  const begun = performance.now();
  return new Promise((resolve, reject) => {
    const headers = { 'Content-Type': 'application/json', 'Content-Length': body.length };
    const sent = request(`${url}/api/messages`, { method: 'POST', agent, headers }, (answer) => {
      answer.resume();
      answer.on('end', () => {
        if (answer.statusCode === 200) resolve(performance.now() - begun);
        else reject(new Error(`the bot answered ${answer.statusCode}`));
      });
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

export interface Load {
  /** Of the bot, or of each of its instances: every message goes to the next one. */
  readonly url: string | readonly string[];
  readonly connector: Connector;
  readonly scripts: readonly Script[];
  /** Whole conversations in all, and at a time; every conversation is begun by somebody joining. */
  readonly conversations: number;
  readonly atOnce: number;
  /** No two loads on one bot have the same. */
  readonly run: string;
  /** Looks at the last activity of each conversation. */
  readonly onEnd?: (last: ReturnType<Connector['take']>) => void;
  /** Hears how many turns were answered so far. */
  readonly onTurn?: (turns: number) => void;
}

/** Drives whole conversations through a bot; gives the milliseconds of every turn, and how long all took. */
export async function drive({ url, connector, scripts, conversations, atOnce, run, onEnd, onTurn }: Load) {
  const urls = [url].flat();
  // Connections of one load only: what is idle between two loads is closed by the bots.
  const agent = new Agent({ keepAlive: true });
  const turnsMs: number[] = [];
  let next = 0;
  let sent = 0;
  const turn = async (activity: object): Promise<void> => {
    turnsMs.push(await post(agent, urls[sent++ % urls.length] as string, activity));
    onTurn?.(turnsMs.length);
  };
  const converse = async (nth: number): Promise<void> => {
    const script = nth % scripts.length;
    const conversation = conversationName(script, `${run}-${nth}`);
    const common = {
      channelId: 'emulator',
      serviceUrl: connector.url,
      conversation: { id: conversation },
      from: { id: 'family' },
      recipient: { id: 'bot' },
      locale: 'en',
    };
    const joined = { type: 'conversationUpdate', id: 'join', membersAdded: [{ id: 'family' }], ...common };
    await turn(joined);
    for (const [nth, text] of (scripts[script]?.answers ?? []).entries())
      await turn({ type: 'message', id: `${nth}`, text, ...common });
    const last = connector.take(conversation);
    onEnd?.(last);
  };
  const begun = performance.now();
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      while (next < conversations) await converse(next++);
    }),
  );
  const seconds = (performance.now() - begun) / 1000;
  agent.destroy();
  return { turnsMs, seconds };
}
