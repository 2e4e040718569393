import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

let dataDir: string;
let service: ServiceProcess | null = null;
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-restart-'));
});
afterEach(async () => {
  await service?.end('SIGKILL');
  service = null;
  rmSync(dataDir, { recursive: true });
});

const start = async (settings: Record<string, string> = { LAPWING_DEMO: 'off' }) => {
  service = await startProcess(dataDir, settings);
  return service;
};

interface Line {
  readonly id: string;
  readonly text: string;
  readonly from: { readonly role: string };
  readonly channelData: { readonly lapwing: RenderedReply };
}

interface Set {
  readonly activities: readonly Line[];
}

/** A client that keeps its token over restarts and finds the service at its new address. */
async function openConversation({ url }: ServiceProcess) {
  const opened = (await (
    await fetch(`${url}/v3/directline/conversations`, { method: 'POST', body: JSON.stringify({ locale: 'en' }) })
  ).json()) as { conversationId: string; token: string };
  const address = () => `${service?.url}/v3/directline/conversations/${opened.conversationId}/activities`;
  const headers = {
    Authorization: `Bearer ${opened.token}`,
    'Content-Type': 'application/json',
    Prefer: 'return=representation',
  };
  return {
    thread: async () => ((await (await fetch(address(), { headers })).json()) as Set).activities,
    send: async (text: string, id: string) => {
      const body = JSON.stringify({ type: 'message', from: { id: 'u' }, text, channelData: { clientActivityID: id } });
      const answer = await fetch(address(), { method: 'POST', headers, body });
      return (await answer.json()) as Set;
    },
  };
}

const askedIn = (lines: readonly Line[]) =>
  lines.filter(({ from }) => from.role === 'bot').map(({ channelData }) => channelData.lapwing.asking);

/** The start of an intake; each answer is taken at once, so each question comes once. */
const ANSWERS = ['yes', '1', '2 years and 3 months', '28 lb', '35 inches'];

describe('a service that is killed', () => {
  it('goes on at the next question after every kill, and asks nothing twice', async () => {
    const client = await openConversation(await start());
    for (const [i, text] of ANSWERS.entries()) {
      await client.send(text, `m${i}`);
      await service?.end('SIGKILL');
      await start();
    }
    const asked = askedIn(await client.thread());
    expect(asked).toHaveLength(ANSWERS.length + 1);
    expect(new Set(asked).size).toBe(asked.length);
    expect(asked.slice(0, 4)).toEqual(['consent', 'child-count', 'age', 'weight']);
  });

  it('answers a message that was on its way when it died once, however often it is sent', async () => {
    const client = await openConversation(await start());
    for (const [i, text] of ANSWERS.entries()) {
      // Whether it died before or after the commit, the client only knows that no answer came.
      const onItsWay = client.send(text, `m${i}`).catch(() => null);
      await service?.end('SIGKILL');
      await onItsWay;
      await start();
      await client.send(text, `m${i}`);
      await client.send(text, `m${i}`);
    }
    const lines = await client.thread();
    expect(lines.filter(({ from }) => from.role === 'user').map(({ text }) => text)).toEqual(ANSWERS);
    const asked = askedIn(lines);
    expect(new Set(asked).size).toBe(asked.length);
    expect(asked).toHaveLength(ANSWERS.length + 1);
  });
});

describe('a service that is told to stop', () => {
  it('ends by itself, and starts again with everything there', async () => {
    const client = await openConversation(await start());
    await client.send('yes', 'm0');
    expect(await service?.end('SIGTERM')).toBe(0);
    await start();
    expect(askedIn(await client.thread())).toEqual(['consent', 'child-count']);
  });
});

describe('a service that cannot start', () => {
  it('ends with status 2 and names the setting', async () => {
    await expect(startProcess(dataDir, { LAPWING_DEMO: 'maybe' })).rejects.toThrow(
      /ended with 2: .*LAPWING_DEMO: must be on or off/s,
    );
  });

  it('ends with status 1 and names the port that is taken', async () => {
    const { url } = await start();
    const port = new URL(url).port;
    const other = mkdtempSync(join(tmpdir(), 'lapwing-restart-'));
    await expect(startProcess(other, { LAPWING_PORT: port })).rejects.toThrow(
      /ended with 1: LAPWING_PORT: port \d+ is in use/,
    );
    rmSync(other, { recursive: true });
  });
});

describe('a first start', () => {
  it('prints the addresses of page and desk and the link for the first sign-in, and shows the demo', async () => {
    const { url, printed, firstRunLink } = await start({ LAPWING_DEMO: 'on' });
    expect(printed[0]).toBe(`Caregiver page: ${url}/?event=demo`);
    expect(printed[1]).toBe(`Technician desk: ${url}/desk`);
    expect(firstRunLink).toMatch(new RegExp(`^${url}/desk/first\\?token=`));
    expect((await fetch(`${url}/?event=demo`)).status).toBe(200);
    expect((await fetch(firstRunLink ?? '')).status).toBe(200);
    expect(await (await fetch(`${url}/readyz`)).json()).toEqual({ status: 'ready' });
  });
});
