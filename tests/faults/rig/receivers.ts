import { once } from 'node:events';
import { createServer } from 'node:http';
import { type AddressInfo, connect, createServer as createTcpServer, type Socket } from 'node:net';
import { SMTPServer } from 'smtp-server';
import { Webhook } from 'standardwebhooks';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { Chance } from '../../families/chance.ts';

const SECRET = `whsec_${Buffer.alloc(32, 3).toString('base64')}`;

/** `slow` takes everything and says nothing until it is something else. */
export type Weather = 'up' | 'slow' | 'down' | 'garbage';

/** Stands before a server, and lets through what the weather allows. */
async function front(target: number, chance: Chance) {
  let weather: Weather = 'up';
  const open = new Set<Socket>();
  const held = new Set<() => void>();
  const keep = (socket: Socket) => {
    open.add(socket);
    socket.on('error', () => {});
    socket.on('close', () => open.delete(socket));
  };
  const through = (inner: Socket) => {
    const outer = connect(target, '127.0.0.1');
    keep(outer);
    inner.on('close', () => outer.destroy());
    outer.on('close', () => inner.destroy());
    inner.pipe(outer).pipe(inner);
  };
  const taken = { up: 0, slow: 0, down: 0, garbage: 0 };
  const server = createTcpServer((inner) => {
    keep(inner);
    taken[weather]++;
    if (weather === 'up') through(inner);
    else if (weather === 'down') inner.destroy();
    else if (weather === 'garbage') {
      const bytes = Buffer.from(Array.from({ length: chance.whole(1, 400) }, () => chance.whole(0, 255)));
      inner.resume();
      inner.end(
        chance.happens(0.5)
          ? bytes
          : `HTTP/1.1 ${chance.oneOf(['302 Found', '500 No', '999 Huh', 'OK 200', '100 Wait'])}\r\n\r\n`,
      );
    } else {
      const release = () => {
        held.delete(release);
        if (!inner.destroyed) through(inner);
      };
      held.add(release);
      inner.on('close', () => held.delete(release));
    }
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  return {
    port: (server.address() as AddressInfo).port,
    /** Connections by the weather that they met. */
    taken,
    be(next: Weather) {
      if (next !== weather) for (const socket of open) if (weather === 'up') socket.destroy();
      weather = next;
      if (next === 'up') for (const release of held) release();
    },
    close() {
      for (const socket of open) socket.destroy();
      server.close();
    },
  };
}

/** A delivery of the webhook that was answered as taken. */
export interface Delivered {
  readonly id: string;
  readonly type: string;
  readonly body: string;
  readonly summary: PreVisitSummary;
}

/** A letter taken by the mail server. */
export interface Letter {
  /** Of its Message-ID. */
  readonly id: string;
  /** The code of the case in its subject. */
  readonly about: string;
}

/** A webhook's receiver and a mail server on this machine, each in a weather of its own. */
export async function startReceivers(chance: Chance) {
  const delivered: Delivered[] = [];
  const letters: Letter[] = [];
  const forged: string[] = [];
  const hook = createServer(async (req, res) => {
    const chunks: Buffer[] = [];
    for await (const chunk of req) chunks.push(chunk as Buffer);
    const body = Buffer.concat(chunks).toString('utf8');
    try {
      const headers = req.headers as Record<string, string>;
      // The library refuses timestamps that are off by five minutes; the clocks of these tests are.
      const sent = new Date(Number(headers['webhook-timestamp']) * 1000);
      if (new Webhook(SECRET).sign(headers['webhook-id'] ?? '', sent, body) !== headers['webhook-signature'])
        throw new Error('not signed by us');
      const { type, data } = JSON.parse(body) as { type: string; data: PreVisitSummary };
      delivered.push({ id: headers['webhook-id'] ?? '', type, body, summary: data });
      res.writeHead(204).end();
    } catch (error) {
      forged.push(String(error));
      res.writeHead(400).end();
    }
  }).listen(0, '127.0.0.1');
  const post = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    logger: false,
    onData(stream, _session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      // A sender that dies in the middle of its letter has sent none.
      stream.on('error', () => {});
      stream.on('end', () => {
        const text = Buffer.concat(chunks).toString('utf8');
        const about = /^Subject: .*?([A-Z0-9]{4}-[A-Z0-9]{4})/m.exec(text)?.[1] ?? '';
        letters.push({ id: /^Message-ID: <([^>]+)>/im.exec(text)?.[1] ?? '', about });
        done();
      });
    },
  });
  post.on('error', () => {});
  post.listen(0, '127.0.0.1');
  await Promise.all([once(hook, 'listening'), once(post.server, 'listening')]);
  const [webhook, mail] = await Promise.all([
    front((hook.address() as AddressInfo).port, chance),
    front((post.server.address() as AddressInfo).port, chance),
  ]);
  return {
    delivered,
    letters,
    /** What came without our signature. */
    forged,
    webhook,
    mail,
    settings: {
      LAPWING_WEBHOOK_URL: `http://127.0.0.1:${webhook.port}/`,
      LAPWING_WEBHOOK_SECRET: SECRET,
      LAPWING_SMTP_URL: `smtp://127.0.0.1:${mail.port}`,
      LAPWING_MAIL_FROM: 'lapwing@example.org',
      LAPWING_MAIL_TO: 'tech@example.org',
    },
    close() {
      webhook.close();
      mail.close();
      hook.close();
      hook.closeAllConnections();
      post.close();
    },
  };
}

export type Receivers = Awaited<ReturnType<typeof startReceivers>>;
