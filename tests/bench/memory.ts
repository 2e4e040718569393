import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { median, rounded } from './figures.ts';
import { residentMB, startService } from './processes.ts';
import { assertEnded, drive, openConnector } from './turn/load.ts';
import { intakes } from './turn/script.ts';

const FEW = 10_000;
const MANY = 100_000;
/** Memory is what it was in the middle over so many turns before. */
const WINDOW = 2000;
const AT_ONCE = 16;

/** The service's resident memory after many turns through `/api/messages`, beside that after few. Takes a while. */
export async function benchMemory(): Promise<readonly object[]> {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-memory-'));
  const connector = await openConnector();
  const service = await startService(dataDir);
  const seen = new Map<number, number[]>([
    [FEW, []],
    [MANY, []],
  ]);
  const scripts = intakes();
  const turnsEach = scripts.reduce((sum, { answers }) => sum + answers.length + 1, 0) / scripts.length;
  const onTurn = (turns: number) => {
    for (const [end, values] of seen)
      if (turns <= end && turns > end - WINDOW && turns % 50 === 0) values.push(residentMB(service.pid) ?? Number.NaN);
  };
  try {
    const conversations = Math.ceil(MANY / turnsEach) + AT_ONCE;
    await drive({
      url: service.url,
      connector,
      scripts,
      conversations,
      atOnce: AT_ONCE,
      run: 'memory',
      onEnd: assertEnded,
      onTurn,
    });
    const [few, many] = [...seen.values()].map(median) as [number, number];
    return [
      {
        bench: `memory: megabytes resident after ${MANY} turns`,
        ratio: rounded(many / few),
        value: rounded(many),
        baseline: `after ${FEW} turns`,
        baselineValue: rounded(few),
      },
    ];
  } finally {
    connector.close();
    await service.end('SIGKILL');
    rmSync(dataDir, { recursive: true });
  }
}

if (import.meta.main) for (const line of await benchMemory()) process.stdout.write(`${JSON.stringify(line)}\n`);
