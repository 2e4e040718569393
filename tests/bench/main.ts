import { benchArrange } from './arrange.ts';
import { benchAssess } from './assess.ts';
import { benchDesk } from './desk.ts';
import { benchPage } from './page.ts';
import { benchUnderstanding } from './understanding.ts';

/** Every bench, a JSON line a figure, each beside its baseline from the same run. */
const BENCHES: readonly (() => Promise<readonly object[]>)[] = [
  async () => [await benchAssess()],
  async () => [benchArrange()],
  async () => benchUnderstanding(),
  benchPage,
  benchDesk,
];

for (const bench of BENCHES) for (const line of await bench()) process.stdout.write(`${JSON.stringify(line)}\n`);
