import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

/** What people say and do in this run; each is nowhere else in the service. */
const SAID = {
  nickname: 'Quillwortina',
  weight: '28.7 lb',
  height: '35.3 inches',
  birthday: '2024-01-17',
  note: 'her cast comes off on friday',
  phone: '(555) 010-4477',
  email: 'ana@quillwort.example',
  file: 'quillwort-at-the-kerb.jpg',
  technician: 'Marigold Fenwick-Invented',
  password: 'seven geese over the lake',
  wrongPassword: 'eight geese over the lake',
};

let dataDir: string;
let service: ServiceProcess;
let ended: number | null;
let databaseBytes: string;
const conversationIds: string[] = [];
const tokens: string[] = [];
const statuses = new Set<number>();

/** A receiver that always fails, and says in its answer what it was sent. */
const hook = createServer(async (req, res) => {
  const chunks: Buffer[] = [];
  for await (const chunk of req) chunks.push(chunk as Buffer);
  res.writeHead(500).end(Buffer.concat(chunks));
});

async function ask(path: string, init: RequestInit = {}): Promise<Response> {
  const answer = await fetch(service.url + path, { redirect: 'manual', ...init });
  statuses.add(answer.status);
  return answer;
}

async function aConversation(): Promise<void> {
  const opened = await ask('/v3/directline/conversations', { method: 'POST', body: JSON.stringify({ locale: 'en' }) });
  const { conversationId, token, streamUrl } = (await opened.json()) as Record<string, string>;
  conversationIds.push(conversationId ?? '');
  tokens.push(token ?? '');
  const stream = new WebSocket(streamUrl ?? '');
  stream.on('error', () => {});
  const path = `/v3/directline/conversations/${conversationId}`;
  const headers = { Authorization: `Bearer ${token}` };
  let last = '';
  const messages = [
    'yes',
    '1',
    `her name is ${SAID.nickname}`,
    `born ${SAID.birthday}`,
    SAID.weight,
    SAID.height,
    `${SAID.note}, ${SAID.nickname}`,
    'person',
    `${SAID.email} or ${SAID.phone}`,
    SAID.note,
  ];
  for (const [i, text] of messages.entries()) {
    const activity = { type: 'message', from: { id: SAID.nickname }, text, channelData: { clientActivityID: `m${i}` } };
    const answer = await ask(`${path}/activities`, {
      method: 'POST',
      headers: { ...headers, 'Content-Type': 'application/json', Prefer: 'return=representation' },
      body: JSON.stringify(activity),
    });
    last = await answer.text();
  }
  // The contact was asked for and taken: a person has the thread now.
  expect(last).toContain('"asking":null');
  const form = new FormData();
  form.set('file', new Blob(['not kept']), SAID.file);
  await ask(`${path}/upload?userId=u`, { method: 'POST', headers, body: form });
  await ask(`${path}/activities`, { headers: { Authorization: `Bearer ${token}${SAID.nickname}` } });
  await ask(`${path}/activities?watermark=${SAID.nickname}`, { headers });
  await ask(`${path}/activities`, { method: 'POST', headers, body: `{"text":"${SAID.note}` });
  await ask(`/${SAID.nickname}?phone=${encodeURIComponent(SAID.phone)}`);
  stream.close();
}

async function atTheDesk(): Promise<void> {
  let cookie = '';
  const submit = async (path: string, fields: Record<string, string>) => {
    const page = await ask(path, { headers: { Cookie: cookie } });
    cookie = page.headers.getSetCookie()[0]?.split(';')[0] ?? cookie;
    const token = /name="token" value="([^"]+)"/.exec(await page.text())?.[1] ?? '';
    tokens.push(token, cookie.split('=')[1] ?? '');
    return ask(path.split('?')[0] ?? '', {
      method: 'POST',
      headers: { Cookie: cookie, 'Content-Type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams({ ...fields, token }),
    });
  };
  const link = new URL(service.firstRunLink ?? '');
  const linkToken = link.searchParams.get('token') ?? '';
  const account = { name: SAID.technician, password: SAID.password, again: SAID.password, link: linkToken };
  const made = await submit(link.pathname + link.search, account);
  const session = (made.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
  expect(made.status).toBe(303);
  tokens.push(session.split('=')[1] ?? '');
  const list = await ask(`/desk?search=${SAID.nickname}`, { headers: { Cookie: session } });
  const reference = /\/desk\/cases\/([\w-]+)/.exec(await list.text())?.[1];
  const page = await (await ask(`/desk/cases/${reference}`, { headers: { Cookie: session } })).text();
  // The technician is who must see it.
  expect(page).toContain('010-4477');
  await submit('/desk/sign-in', { name: SAID.technician, password: SAID.wrongPassword });
}

/** Takes a table away, so that turns and pages fail inside. */
async function withoutTheThread(): Promise<void> {
  const database = new DatabaseSync(join(dataDir, 'lapwing.db'));
  database.exec(`alter table thread rename to "${SAID.nickname}"`);
  const opened = await ask('/v3/directline/conversations', { method: 'POST', body: '{}' });
  expect(opened.status).toBe(500);
  expect(await opened.text()).not.toContain(SAID.nickname);
  await ask('/chat/start', { method: 'POST', body: JSON.stringify({ language: 'en', event: SAID.nickname }) });
  database.exec(`alter table "${SAID.nickname}" rename to thread`);
  database.close();
}

beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-privacy-'));
  await new Promise<void>((resolve) => hook.listen(0, '127.0.0.1', () => resolve()));
  service = await startProcess(dataDir, {
    LAPWING_DEMO: 'off',
    LAPWING_LOG_LEVEL: 'debug',
    LAPWING_WEBHOOK_URL: `http://127.0.0.1:${(hook.address() as AddressInfo).port}/hook`,
    LAPWING_WEBHOOK_SECRET: `whsec_${Buffer.alloc(32, 3).toString('base64')}`,
  });
  await aConversation();
  await atTheDesk();
  databaseBytes = readdirSync(dataDir)
    .filter((file) => file.startsWith('lapwing.db'))
    .map((file) => readFileSync(join(dataDir, file), 'latin1'))
    .join('');
  await withoutTheThread();
  ended = await service.end('SIGTERM');
});
afterAll(async () => {
  await service?.end('SIGKILL').catch(() => null);
  hook.close();
  rmSync(dataDir, { recursive: true, force: true });
});

/** Only what is written once the service is ready: the link for the first sign-in is meant to be printed. */
const logOf = (): string =>
  [...service.printed.slice(service.printed.indexOf('Ready.') + 1), ...service.complaints].join('\n');

describe('the log of a busy run', () => {
  it('tells of all that happened', () => {
    expect(ended).toBe(0);
    expect([...statuses].toSorted()).toEqual(expect.arrayContaining([200, 201, 303, 400, 401, 403, 404, 500]));
    const log = logOf();
    expect(log.split('\n').length).toBeGreaterThan(25);
    expect(log).toContain('request failed');
    expect(log).toMatch(/"status":404/);
  });

  it.each(Object.entries(SAID))('holds nothing of what was said or typed: %s', (_what, text) => {
    const log = logOf().toLowerCase();
    expect(log).not.toContain(text.toLowerCase());
    expect(log).not.toContain(encodeURIComponent(text).toLowerCase());
  });

  it('holds no part of a contact or a name', () => {
    expect(logOf()).not.toMatch(/quillwort|010-?4477|fenwick|geese|28\.7 ?(?:lb|pound)|35\.3 ?in/i);
  });

  it('holds no token, cookie or id of a conversation', () => {
    expect(tokens.length).toBeGreaterThan(5);
    for (const secret of [...conversationIds, ...tokens]) {
      expect(secret.length).toBeGreaterThan(15);
      expect(logOf()).not.toContain(secret);
    }
  });
});

describe('the database of a busy run', () => {
  it('holds no byte of a contact, whether left, noted or given as a name of a file', () => {
    expect(databaseBytes.length).toBeGreaterThan(10_000);
    expect(databaseBytes.includes('sealed:1:')).toBe(true);
    // Not by `toMatch`: a failure would print the whole file.
    expect(/010-?4477|ana@|quillwort\.example|quillwort-at/i.exec(databaseBytes)?.[0]).toBeUndefined();
  });

  it('holds no password and no token in the clear', () => {
    const inTheClear = [SAID.password, SAID.wrongPassword, ...tokens].filter((secret) =>
      databaseBytes.includes(secret),
    );
    expect(inTheClear).toEqual([]);
  });
});
