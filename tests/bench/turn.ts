import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startProcess } from '../src/support/start-process.ts';
import { median, medianRatio, percentile, rounded } from './figures.ts';
import { cpuSeconds, startBot } from './processes.ts';
import { type Connector, drive, openConnector } from './turn/load.ts';
import { intakes } from './turn/script.ts';

const ROUNDS = 11;
const WARM_UP = 120;
const CONVERSATIONS = 30;
const AT_ONCE = 8;

interface Bot {
  readonly url: string;
  readonly pid: number;
}

interface Round {
  readonly turnsPerSecond: number;
  readonly p50Ms: number;
  readonly p99Ms: number;
  readonly cpuMs: number;
}

/** A script has run as it was written when its last answer was heard as the last. */
function assertEnded({ channelData }: ReturnType<Connector['take']>): void {
  const { lapwing } = (channelData ?? {}) as { lapwing?: { asking: string | null } };
  if (lapwing?.asking !== 'anything-else' && lapwing?.asking !== null)
    throw new Error(`an intake ended at ${lapwing?.asking}`);
}

/** Whole intakes through `/api/messages`, several at once, against two bots of the SDK; the three take turns. */
export async function benchTurn(): Promise<readonly object[]> {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-turn-'));
  const scripts = intakes();
  const connector = await openConnector();
  const [service, echo, waterfall] = await Promise.all([
    startProcess(dataDir, { LAPWING_DEMO: 'off', LAPWING_LOG_LEVEL: 'info' }),
    startBot('./turn/echo-bot.ts'),
    startBot('./turn/waterfall-bot.ts'),
  ]);

  const round = async ({ url, pid }: Bot, run: string, conversations = CONVERSATIONS): Promise<Round> => {
    const cpu = cpuSeconds(pid) ?? Number.NaN;
    const onEnd = pid === service.pid ? assertEnded : undefined;
    const load = { url, connector, scripts, conversations, atOnce: AT_ONCE, run, ...(onEnd && { onEnd }) };
    const { turnsMs, seconds } = await drive(load);
    return {
      turnsPerSecond: turnsMs.length / seconds,
      p50Ms: percentile(turnsMs, 0.5),
      p99Ms: percentile(turnsMs, 0.99),
      cpuMs: (((cpuSeconds(pid) ?? Number.NaN) - cpu) * 1000) / turnsMs.length,
    };
  };

  try {
    const rounds: Round[][] = [];
    for (const bot of [service, echo, waterfall]) await round(bot, 'warm-up', WARM_UP);
    for (let nth = 0; nth < ROUNDS; nth++)
      rounds.push([await round(service, `${nth}`), await round(echo, `${nth}`), await round(waterfall, `${nth}`)]);
    const column = (bot: number, figure: keyof Round) => rounds.map((each) => each[bot]?.[figure] ?? Number.NaN);
    const [OURS, ECHO, WATERFALL] = [0, 1, 2];
    const against = (baseline: string, theirs: number) => ({
      bench: `turn: a whole intake turn, ${AT_ONCE} conversations at once`,
      baseline,
      ratio: medianRatio(column(OURS, 'turnsPerSecond'), column(theirs, 'turnsPerSecond')),
      ratioP50: medianRatio(column(OURS, 'p50Ms'), column(theirs, 'p50Ms')),
      ratioP99: medianRatio(column(OURS, 'p99Ms'), column(theirs, 'p99Ms')),
      ratioCpu: medianRatio(column(OURS, 'cpuMs'), column(theirs, 'cpuMs')),
      ...Object.fromEntries(
        (['turnsPerSecond', 'p50Ms', 'p99Ms', 'cpuMs'] as const).flatMap((figure) => [
          [figure, rounded(median(column(OURS, figure)))],
          [`baseline ${figure}`, rounded(median(column(theirs, figure)))],
        ]),
      ),
      rounds: ROUNDS,
    });
    return [
      against('echo bot on the same adapter and restify', ECHO),
      against("botbuilder-dialogs' waterfall, the same questions, in-memory storage", WATERFALL),
    ];
  } finally {
    connector.close();
    await Promise.all([service.end('SIGKILL'), echo.end(), waterfall.end()]);
    rmSync(dataDir, { recursive: true });
  }
}

if (import.meta.main) for (const line of await benchTurn()) process.stdout.write(`${JSON.stringify(line)}\n`);
