import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startBot, startService } from './processes.ts';
import { openConnector } from './turn/load.ts';
import { interleaved } from './turn/rounds.ts';

const ROUNDS = { rounds: 9, conversations: 24, atOnce: 8, warmUp: 100 };

/** Whole intakes through `/api/messages`, several at once, against two bots of the SDK. */
export async function benchTurn(): Promise<readonly object[]> {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-bench-turn-'));
  const connector = await openConnector();
  const [service, echo, waterfall] = await Promise.all([
    startService(dataDir),
    startBot('./turn/echo-bot.ts'),
    startBot('./turn/waterfall-bot.ts'),
  ]);
  try {
    const bots = [service, echo, waterfall].map((bot) => ({ urls: [bot.url], pids: [bot.pid], ours: bot === service }));
    const against = await interleaved(bots, connector, ROUNDS);
    const bench = 'turn: read, decide, commit, reply, through /api/messages';
    return [
      { bench, baseline: 'echo bot on the same adapter and restify', ...against(0, 1) },
      {
        bench,
        baseline: "botbuilder-dialogs' waterfall, the same questions, in-memory storage",
        ...against(0, 2),
      },
    ];
  } finally {
    connector.close();
    await Promise.all([service.end('SIGKILL'), echo.end(), waterfall.end()]);
    rmSync(dataDir, { recursive: true });
  }
}

if (import.meta.main) for (const line of await benchTurn()) process.stdout.write(`${JSON.stringify(line)}\n`);
