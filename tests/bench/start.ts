import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { startProcess } from '../src/support/start-process.ts';
import { median, medianRatio, rounded } from './figures.ts';
import { residentMB, startBot } from './processes.ts';
import { drive, openConnector } from './turn/load.ts';

const RUNS = 5;
const IDLE_MS = 3000;
const HELLO = [{ asked: [], answers: ['hello'] }];

/** Seconds from the start of the process to its first answer, by the channel of the page and by the Bot Framework; megabytes when idle. */
export async function benchStart(): Promise<readonly object[]> {
  const connector = await openConnector();
  const rows: { page: number; botFramework: number; echo: number; idleMB: number; usedMB: number; echoMB: number }[] =
    [];
  const seconds = (since: number) => (performance.now() - since) / 1000;
  const hello = (url: string) => drive({ url, connector, scripts: HELLO, conversations: 1, atOnce: 1, run: 'hello' });
  try {
    for (let run = 0; run < RUNS; run++) {
      const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-start-'));
      const begun = performance.now();
      const service = await startProcess(dataDir, { LAPWING_DEMO: 'off' });
      const opened = await fetch(`${service.url}/v3/directline/conversations`, {
        method: 'POST',
        body: '{"locale":"en"}',
      });
      if (!opened.ok) throw new Error(`the first answer was ${opened.status}`);
      const page = seconds(begun);
      await wait(IDLE_MS);
      const idleMB = residentMB(service.pid) ?? Number.NaN;
      await service.end('SIGKILL');

      const begunAgain = performance.now();
      const again = await startProcess(dataDir, { LAPWING_DEMO: 'off' });
      await hello(again.url);
      const botFramework = seconds(begunAgain);
      await wait(IDLE_MS);
      const usedMB = residentMB(again.pid) ?? Number.NaN;
      await again.end('SIGKILL');
      rmSync(dataDir, { recursive: true });

      const begunEcho = performance.now();
      const bot = await startBot('./turn/echo-bot.ts');
      await hello(bot.url);
      const echo = seconds(begunEcho);
      await wait(IDLE_MS);
      const echoMB = residentMB(bot.pid) ?? Number.NaN;
      await bot.end();
      rows.push({ page, botFramework, echo, idleMB, usedMB, echoMB });
    }
    const column = (figure: keyof (typeof rows)[number]) => rows.map((row) => row[figure]);
    const baseline = 'echo bot on the same adapter and restify';
    const figures = (ours: keyof (typeof rows)[number], theirs: keyof (typeof rows)[number]) => ({
      ratio: medianRatio(column(ours), column(theirs)),
      value: rounded(median(column(ours))),
      baseline,
      baselineValue: rounded(median(column(theirs))),
      runs: RUNS,
    });
    return [
      { bench: "start: seconds to the first answer, new database, the page's channel", ...figures('page', 'echo') },
      { bench: 'start: seconds to the first answer, Bot Framework', ...figures('botFramework', 'echo') },
      { bench: "start: megabytes resident, idle after the page's channel was used", ...figures('idleMB', 'echoMB') },
      { bench: 'start: megabytes resident, idle after the Bot Framework was used', ...figures('usedMB', 'echoMB') },
    ];
  } finally {
    connector.close();
  }
}

if (import.meta.main) for (const line of await benchStart()) process.stdout.write(`${JSON.stringify(line)}\n`);
