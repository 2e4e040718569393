import { spawnSync } from 'node:child_process';
import { randomInt } from 'node:crypto';

// Runs the property tests with a new seed each time, as often as asked (10), and prints the seeds that found something.
const runs = Number(process.argv[2] ?? 10);
const found: number[] = [];
for (let run = 1; run <= runs; run++) {
  const seed = randomInt(2 ** 31);
  const { status } = spawnSync('vitest', ['run', '--config', 'tests/vitest.config.ts', '--project', 'unit'], {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, LAPWING_TEST_SEED: String(seed) },
  });
  if (status !== 0) found.push(seed);
  console.log(`${run} of ${runs}, seed ${seed}: ${status === 0 ? 'passed' : 'failed'}`);
}
process.exit(found.length === 0 ? 0 : 1);
