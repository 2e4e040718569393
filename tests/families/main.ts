import { type Figures, figuresOf, interviewAll } from './measure.ts';

// Questions asked over generated families; `--asked` also lists what each of them was asked.
const cell = (pair: readonly [number, number] | null): string => (pair ? `${pair[0]} / ${pair[1]}` : '-').padStart(9);

const line = (name: string, { families, first, further, lost, invented, misadvised }: Figures): string =>
  [
    name.padEnd(30),
    String(families).padStart(8),
    cell(first),
    cell(further),
    ...[lost, invented, misadvised].map((n) => String(n).padStart(8)),
  ].join('  ');

const all = interviewAll();
const heads = ['families', ' 1st child', '  further', '    lost', 'invented', '  advice'];
process.stdout.write(
  'Questions a child: median / 90th percentile. Findings lost or invented and advice changed against the truth.\n',
);
process.stdout.write(`${[' '.repeat(29), ...heads].join('  ')}\n`);
for (const [kind, interviews] of all) process.stdout.write(`${line(kind, figuresOf(interviews))}\n`);
process.stdout.write(`${line('all', figuresOf([...all.values()].flat()))}\n`);
process.stdout.write(`${line('all, one thing a message', figuresOf([...interviewAll(true).values()].flat()))}\n`);

if (process.argv.includes('--asked'))
  for (const { family, asked, lost, invented, misadvised } of [...all.values()].flat()) {
    const questions = asked.map(({ question, child }) => (child ? `${question}:${child}` : question)).join(' ');
    process.stdout.write(`\n${family.kind} (${asked.length}): ${questions}\n`);
    for (const [what, keys] of Object.entries({ lost, invented, misadvised }))
      for (const key of keys) process.stdout.write(`  ${what}: ${key}\n`);
  }
