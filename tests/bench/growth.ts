import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ServiceProcess } from '../src/support/start-process.ts';
import { fill } from './growth/fill.ts';
import { SECRET } from './growth/real-turns.ts';
import { startService } from './processes.ts';
import { openConnector } from './turn/load.ts';
import { interleaved } from './turn/rounds.ts';

const FEW = 100;
const MANY = 100_000;
const ROUNDS = { rounds: 9, conversations: 24, atOnce: 8, warmUp: 60 };
const SLEEPING = fileURLToPath(new URL('./growth/sleeping.ts', import.meta.url));

const MB = 1_000_000;

/** The turn with few and with many conversations kept, and what one of them takes of the heap while nobody writes. */
export async function benchGrowth(): Promise<readonly object[]> {
  const [few, many] = [FEW, MANY].map(() => mkdtempSync(join(tmpdir(), 'lapwing-bench-growth-'))) as [string, string];
  const connector = await openConnector();
  const started: ServiceProcess[] = [];
  try {
    await fill(few, FEW);
    await fill(many, MANY);
    for (const dataDir of [many, few]) started.push(await startService(dataDir, { LAPWING_SECRET_KEY: SECRET }));
    const bots = started.map(({ url, pid }) => ({ urls: [url], pids: [pid], ours: true }));
    const against = await interleaved(bots, connector, ROUNDS);
    const sleeping = JSON.parse(
      execFileSync(process.execPath, ['--expose-gc', SLEEPING], { encoding: 'utf8' }),
    ) as object;
    return [
      {
        bench: `growth: the turn with ${MANY} conversations kept`,
        baseline: `with ${FEW}`,
        ...against(0, 1),
        databaseMB: Math.round(statSync(join(many, 'lapwing.db')).size / MB),
      },
      { bench: 'growth: heap of a conversation in which nobody writes', ...sleeping },
    ];
  } finally {
    connector.close();
    await Promise.all(started.map((service) => service.end('SIGKILL')));
    for (const dataDir of [few, many]) rmSync(dataDir, { recursive: true });
  }
}

if (import.meta.main) for (const line of await benchGrowth()) process.stdout.write(`${JSON.stringify(line)}\n`);
