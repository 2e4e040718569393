import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const SCENARIOS = [
  'kills',
  'killed-instances',
  'stopped-database',
  'disk-full',
  'deliveries',
  'corrupt-snapshots',
  'receivers-away',
  'clock-jumps',
];

// Runs the long form of the faults, one scenario after another, and prints what each counted, a JSON line each. Names
// of scenarios' files (`kills`, `disk-full` …) run only those.
const folder = mkdtempSync(join(tmpdir(), 'lapwing-soak-'));
const lines = join(folder, 'lines');
writeFileSync(lines, '');
const asked = process.argv.slice(2);
const files = (asked.length > 0 ? asked : SCENARIOS).map((name) => `tests/faults/${name}.test.ts`);
const { status } = spawnSync(
  'vitest',
  ['run', '--config', 'tests/vitest.config.ts', '--no-file-parallelism', ...files],
  { stdio: ['ignore', 'ignore', 'inherit'], env: { ...process.env, LAPWING_SOAK_LINES: lines } },
);
process.stdout.write(readFileSync(lines, 'utf8'));
rmSync(folder, { recursive: true });
process.exit(status ?? 1);
