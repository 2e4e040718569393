import { median, medianRatio, percentile, rounded } from '../figures.ts';
import { cpuSeconds } from '../processes.ts';
import { assertEnded, type Connector, drive } from './load.ts';
import { intakes } from './script.ts';

/** A bot under load: one process, or several instances of it. */
export interface Driven {
  readonly urls: readonly string[];
  readonly pids: readonly number[];
  /** The scripts are checked to end as they were written. */
  readonly ours: boolean;
}

interface Round {
  readonly turnsPerSecond: number;
  readonly p50Ms: number;
  readonly p99Ms: number;
  /** Of processor time a turn. */
  readonly cpuMs: number;
}

const FIGURES = ['turnsPerSecond', 'p50Ms', 'p99Ms', 'cpuMs'] as const;

export interface Rounds {
  readonly rounds: number;
  readonly conversations: number;
  readonly atOnce: number;
  readonly warmUp: number;
}

const scripts = intakes();

async function round({ urls, pids, ours }: Driven, connector: Connector, run: string, of: Omit<Rounds, 'rounds'>) {
  const cpu = () => pids.reduce((sum, pid) => sum + (cpuSeconds(pid) ?? Number.NaN), 0);
  const before = cpu();
  const onEnd = ours && { onEnd: assertEnded };
  const { turnsMs, seconds } = await drive({ url: urls, connector, scripts, run, ...of, ...onEnd });
  return {
    turnsPerSecond: turnsMs.length / seconds,
    p50Ms: percentile(turnsMs, 0.5),
    p99Ms: percentile(turnsMs, 0.99),
    cpuMs: ((cpu() - before) * 1000) / turnsMs.length,
  };
}

/**
 * Loads bots with whole intakes in turns, so that what else the machine does meets all of them; gives what the first does
 * beside another one, as medians over the rounds, ratios first.
 */
export async function interleaved(bots: readonly Driven[], connector: Connector, settings: Rounds) {
  // Bots may share a database, so no two runs have the same name.
  for (const [i, bot] of bots.entries())
    await round(bot, connector, `${i}-warm-up`, { ...settings, conversations: settings.warmUp });
  const rows: Round[][] = bots.map(() => []);
  for (let nth = 0; nth < settings.rounds; nth++)
    for (const [i, bot] of bots.entries()) rows[i]?.push(await round(bot, connector, `${i}-${nth}`, settings));
  const column = (bot: number, figure: keyof Round) => rows[bot]?.map((each) => each[figure]) ?? [];
  return (ours: number, theirs: number) => ({
    ratio: medianRatio(column(ours, 'turnsPerSecond'), column(theirs, 'turnsPerSecond')),
    ratioP50: medianRatio(column(ours, 'p50Ms'), column(theirs, 'p50Ms')),
    ratioP99: medianRatio(column(ours, 'p99Ms'), column(theirs, 'p99Ms')),
    ratioCpu: medianRatio(column(ours, 'cpuMs'), column(theirs, 'cpuMs')),
    ...Object.fromEntries(
      FIGURES.flatMap((figure) => [
        [figure, rounded(median(column(ours, figure)))],
        [`baseline ${figure}`, rounded(median(column(theirs, figure)))],
      ]),
    ),
    rounds: settings.rounds,
    conversationsAtOnce: settings.atOnce,
  });
}
