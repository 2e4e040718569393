import { mkdtempSync, rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import restify from 'restify';
import { assess } from '#shared/assess.ts';
import { registerDesk } from '#src/desk/register-desk.ts';
import { newToken, tokenHash } from '#src/desk/secrets.ts';
import { openStore } from '#src/store/open-store.ts';
import { verifyFirst } from '#src/turns/summary.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { fullCases } from './full-cases.ts';

const MANY = 5000;
/** About what one event brings. */
const FEW = 50;
const RUNS = 41;
const HOUR_MS = 3_600_000;
const START = Date.parse('2026-05-01T00:00:00.000Z');
const LANGUAGES = ['en', 'es', 'vi', 'ar', 'ht'] as const;
const SAID = [
  'thirty one pounds',
  'mirando hacia adelante',
  'she is in the back by the window',
  'no tether that I can see',
];

const clock = () => new Date();
const round = (ms: number): number => Math.round(ms * 10) / 10;

/** A desk over the embedded database in a directory, with so many families that said twenty things each. */
async function aDesk(dataDir: string, families: number) {
  const store = await openStore({ dataDir, clock });
  for (let i = 0; i < families / FEW; i++)
    await store.events.add({ id: `e${i}`, name: `Check ${i}`, place: 'Yard', timeZone: 'UTC', heldOn: '2026-05-20' });
  for (const [i, facts] of fullCases(families).entries()) {
    const assessment = assess(facts);
    const eventId = `e${Math.floor(i / FEW)}`;
    const reference = `R${String(i).padStart(4, '0')}`;
    for (const child of facts.children) Object.assign(child, { name: `Wren ${i}` });
    const summary = aSummary({
      reference,
      createdAt: new Date(START + i * 60_000).toISOString(),
      language: LANGUAGES[i % LANGUAGES.length] ?? 'en',
      person: i % 40 === 0,
      complete: i % 5 !== 0,
      event: eventId,
      case: facts,
      assessment,
      verifyFirst: [...verifyFirst(assessment)],
      caregiverWords: Array.from({ length: 20 }, (_, line) => ({
        asking: 'anything-else',
        text: `${SAID[(i + line) % SAID.length]} ${i} ${line}`,
        values: {},
      })),
    });
    await store.conversations.commit(aTurn({ conversationId: reference, eventId, summary, at: summary.createdAt }));
  }
  await store.accounts.keepFirstLink('link', HOUR_MS);
  const account = await store.accounts.addFirst('link', { name: 'Robin', role: 'coordinator', passwordHash: 'none' });
  if (account === 'refused') throw new Error('The bench has no account.');
  const session = newToken();
  await store.sessions.add(tokenHash(session), account.id, HOUR_MS);
  const server = restify.createServer({ name: '' });
  const desk = registerDesk(server, { store, words: createWords(), clock, publicUrl: null });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  const url = `http://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
  return {
    load: async (path: string): Promise<string> => {
      const answer = await fetch(url + path, { headers: { cookie: `lapwing_desk=${session}` } });
      if (answer.status !== 200) throw new Error(`${path} answered ${answer.status}.`);
      return answer.text();
    },
    close: async () => {
      desk.close();
      server.server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
      await store.close();
    },
  };
}

/** Median milliseconds of one page, from request to the last byte, on each desk in turn. */
async function compare(many: Load, few: Load, path: string): Promise<{ value: number; baseline: number }> {
  const times: [number[], number[]] = [[], []];
  for (let run = 0; run < RUNS; run++)
    for (const [i, load] of [many, few].entries()) {
      const start = performance.now();
      await load(path);
      times[i]?.push(performance.now() - start);
    }
  const [value, baseline] = times.map((list) => round(list.toSorted((a, b) => a - b)[RUNS >> 1] ?? Number.NaN));
  return { value: value ?? Number.NaN, baseline: baseline ?? Number.NaN };
}

/** Median milliseconds of what to bring to events that nobody has looked at since the service started. */
async function firstLook(load: Load): Promise<number> {
  const times: number[] = [];
  for (let event = 1; event <= 9; event++) {
    const start = performance.now();
    await load(`/desk/events/e${event}/stock`);
    times.push(performance.now() - start);
  }
  return round(times.toSorted((a, b) => a - b)[times.length >> 1] ?? Number.NaN);
}

type Load = (path: string) => Promise<string>;

const LAST_PLACE = `/desk?after=routine~${new Date(START + 60_000 * 26).toISOString()}~R0026`;

const PAGES = [
  ['the list', '/desk'],
  ['the end of the list', LAST_PLACE],
  ['the list by language and interview', '/desk?language=es&finished=no'],
  ['a search that finds many families', '/desk?q=wren+by+the+window'],
  ['a search that finds none', '/desk?q=nobody+said+this'],
  ['a case', '/desk/cases/R0020'],
  ['the print view of a case', '/desk/cases/R0020/print'],
  ['the plans of a case', '/desk/cases/R0020/plan'],
  ['the record of a visit', '/desk/cases/R0020/visit'],
  ['the sheet that goes home', '/desk/cases/R0020/take-home'],
  ['the thread of a case', '/desk/cases/R0020/thread'],
  ['the events', '/desk/events'],
  ['the board of an event', '/desk/events/e0'],
  ['what to bring to an event', '/desk/events/e0/stock'],
  ['the report', '/desk/reports'],
  ['the export without names', '/desk/reports/export.csv'],
  ['the record of use', '/desk/usage'],
] as const;

/** Milliseconds of the desk's pages with 5,000 families; the baseline is the same page with 50. */
export async function benchDesk(): Promise<readonly object[]> {
  const [manyDir, fewDir] = [mkdtempSync(join(tmpdir(), 'lapwing-many-')), mkdtempSync(join(tmpdir(), 'lapwing-few-'))];
  const [many, few] = [await aDesk(manyDir, MANY), await aDesk(fewDir, FEW)];
  try {
    const lines: object[] = [];
    for (const [what, path] of PAGES)
      lines.push({
        bench: `desk: milliseconds to ${what}, ${MANY} families`,
        ...(await compare(many.load, few.load, path)),
        baselineIs: `the same page with ${FEW} families`,
        runs: RUNS,
      });
    const looked = lines.find((line) => JSON.stringify(line).includes('what to bring')) as { value: number };
    lines.push({
      bench: `desk: milliseconds to what to bring to an event of ${FEW} families, seen for the first time`,
      value: await firstLook(many.load),
      baseline: looked.value,
      baselineIs: 'the same page seen before',
      runs: 9,
    });
    return lines;
  } finally {
    await Promise.all([many.close(), few.close()]);
    for (const dir of [manyDir, fewDir]) rmSync(dir, { recursive: true });
  }
}
