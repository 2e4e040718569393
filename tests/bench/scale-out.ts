import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import type { ServiceProcess } from '../src/support/start-process.ts';
import { makePostgres } from '../store/postgres-server.ts';
import { rounded } from './figures.ts';
import { cpuSeconds, descendantsOf, startService } from './processes.ts';
import { drive, openConnector } from './turn/load.ts';
import { interleaved } from './turn/rounds.ts';
import { intakes } from './turn/script.ts';

const INSTANCES = [1, 2, 4];
const ROUNDS = { rounds: 5, conversations: 24, atOnce: 16, warmUp: 40 };
const COUNTED = { conversations: 24, atOnce: 16 };

interface Statement {
  readonly query: string;
  readonly calls: string;
  readonly ms: number;
}

/** Seconds of processor time of each process of the server that runs now. */
const databaseCpu = (): ReadonlyMap<number, number> =>
  new Map(
    descendantsOf(process.pid)
      .filter(({ name }) => name === 'postgres')
      .map(({ pid }) => [pid, cpuSeconds(pid) ?? 0]),
  );

/** What the database is asked while whole intakes run on all instances: statements and its processor time a turn. */
async function whatTheDatabaseDoes(url: string, urls: readonly string[]) {
  const client = new pg.Client(url);
  await client.connect();
  const connector = await openConnector();
  try {
    await client.query('create extension if not exists pg_stat_statements; select pg_stat_statements_reset()');
    const before = databaseCpu();
    const { turnsMs } = await drive({ url: urls, connector, scripts: intakes(), run: 'counted', ...COUNTED });
    const spent = [...databaseCpu()].reduce((sum, [pid, seconds]) => sum + seconds - (before.get(pid) ?? 0), 0);
    const { rows } = await client.query<Statement>(
      'select query, calls, total_exec_time as ms from pg_stat_statements order by calls desc',
    );
    const turns = turnsMs.length;
    const calls = rows.reduce((sum, row) => sum + Number(row.calls), 0);
    return {
      statementsATurn: rounded(calls / turns),
      databaseCpuMsATurn: rounded((spent * 1000) / turns),
      statements: rows
        .filter((row) => Number(row.calls) > turns / 10)
        .map((row) => `${rounded(Number(row.calls) / turns, 2)} × ${row.query.replace(/\s+/g, ' ').slice(0, 60)}`),
    };
  } finally {
    connector.close();
    await client.end();
  }
}

/** One, two and four instances on one PostgreSQL, without sticky sessions, every commit flushed to the disk. */
export async function benchScaleOut(): Promise<readonly object[]> {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-scale-out-'));
  const postgres = await makePostgres({ max_connections: 200, shared_preload_libraries: 'pg_stat_statements' });
  const connector = await openConnector();
  const started: ServiceProcess[] = [];
  try {
    await postgres.start();
    for (let nth = 0; nth < Math.max(...INSTANCES); nth++)
      started.push(
        await startService(dataDir, {
          LAPWING_DATABASE_URL: postgres.url,
          LAPWING_SECRET_KEY: 'a key that all instances of the bench share',
        }),
      );
    const groups = INSTANCES.map((count) => started.slice(0, count));
    const bots = groups.map((group) => ({
      urls: group.map(({ url }) => url),
      pids: group.map(({ pid }) => pid),
      ours: true,
    }));
    const against = await interleaved(bots, connector, ROUNDS);
    const database = await whatTheDatabaseDoes(
      postgres.url,
      started.map(({ url }) => url),
    );
    return [
      ...INSTANCES.slice(1).map((count, i) => ({
        bench: `scale-out: ${count} instances on PostgreSQL`,
        baseline: 'one instance',
        ...against(i + 1, 0),
      })),
      { bench: 'scale-out: what the database does', ...database },
    ];
  } finally {
    connector.close();
    await Promise.all(started.map((service) => service.end('SIGKILL')));
    await postgres.remove();
    rmSync(dataDir, { recursive: true });
  }
}

if (import.meta.main) for (const line of await benchScaleOut()) process.stdout.write(`${JSON.stringify(line)}\n`);
