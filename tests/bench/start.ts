import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { ServiceProcess } from '../src/support/start-process.ts';
import { median, medianRatio, rounded } from './figures.ts';
import { residentMB, startBot, startService } from './processes.ts';
import { drive, openConnector } from './turn/load.ts';

const RUNS = 5;
const IDLE_MS = 3000;
const HELLO = [{ asked: [], answers: ['hello'] }];

const seconds = (since: number): number => (performance.now() - since) / 1000;

async function openConversation({ url }: { readonly url: string }): Promise<void> {
  const opened = await fetch(`${url}/v3/directline/conversations`, { method: 'POST', body: '{"locale":"en"}' });
  if (!opened.ok) throw new Error(`the first answer was ${opened.status}`);
}

interface Started {
  readonly seconds: number;
  readonly residentMB: number;
}

/** Starts a process and has its first answer; then it is idle for some seconds. */
async function measured<P extends { readonly url: string; readonly pid: number }>(
  start: () => Promise<P>,
  firstAnswer: (process: P) => Promise<unknown>,
  end: (process: P) => Promise<unknown>,
): Promise<Started> {
  const begun = performance.now();
  const process = await start();
  await firstAnswer(process);
  const took = seconds(begun);
  await wait(IDLE_MS);
  const resident = residentMB(process.pid) ?? Number.NaN;
  await end(process);
  return { seconds: took, residentMB: resident };
}

/** Seconds to the first answer and megabytes when idle, beside a bare bot; also of the first start ever, which compiles. */
export async function benchStart(): Promise<readonly object[]> {
  const connector = await openConnector();
  const hello = ({ url }: { readonly url: string }) =>
    drive({ url, connector, scripts: HELLO, conversations: 1, atOnce: 1, run: 'hello' });
  const rows: Record<'first' | 'page' | 'botFramework' | 'echo', Started>[] = [];
  const stop = (service: ServiceProcess) => service.end('SIGTERM');
  try {
    for (let run = 0; run < RUNS; run++) {
      const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-start-'));
      const start = () => startService(dataDir);
      rows.push({
        first: await measured(start, openConversation, stop),
        page: await measured(start, openConversation, stop),
        botFramework: await measured(start, hello, stop),
        echo: await measured(
          () => startBot('./turn/echo-bot.ts'),
          hello,
          (bot) => bot.end(),
        ),
      });
      rmSync(dataDir, { recursive: true });
    }
    const figures = (of: keyof (typeof rows)[number], what: keyof Started) => {
      const [ours, theirs] = [rows.map((row) => row[of][what]), rows.map((row) => row.echo[what])];
      return {
        ratio: medianRatio(ours, theirs),
        value: rounded(median(ours)),
        baseline: 'echo bot on the same adapter and restify',
        baselineValue: rounded(median(theirs)),
        runs: RUNS,
      };
    };
    return [
      { bench: 'start: seconds to the first answer of the first start ever', ...figures('first', 'seconds') },
      { bench: 'start: seconds to the first answer', ...figures('page', 'seconds') },
      { bench: 'start: seconds to the first answer, Bot Framework', ...figures('botFramework', 'seconds') },
      { bench: 'start: megabytes resident, idle', ...figures('page', 'residentMB') },
      { bench: 'start: megabytes resident, idle, Bot Framework in use', ...figures('botFramework', 'residentMB') },
    ];
  } finally {
    connector.close();
  }
}

if (import.meta.main) for (const line of await benchStart()) process.stdout.write(`${JSON.stringify(line)}\n`);
