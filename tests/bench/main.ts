import { benchArrange } from './arrange.ts';
import { benchAssess } from './assess.ts';
import { benchDesk } from './desk.ts';
import { benchPage } from './page.ts';
import { benchTurn } from './turn.ts';
import { benchUnderstanding } from './understanding.ts';

/** Every bench by its name, a JSON line a figure, each beside its baseline from the same run. */
const BENCHES: Readonly<Record<string, () => Promise<readonly object[]>>> = {
  assess: async () => [await benchAssess()],
  arrange: async () => [benchArrange()],
  understanding: async () => benchUnderstanding(),
  page: benchPage,
  desk: benchDesk,
  turn: benchTurn,
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !Object.hasOwn(BENCHES, name));
if (unknown.length > 0) {
  process.stderr.write(`No bench ${unknown.join(', ')}. There are ${Object.keys(BENCHES).join(', ')}.\n`);
  process.exit(2);
}
for (const [name, bench] of Object.entries(BENCHES))
  if (wanted.length === 0 || wanted.includes(name))
    for (const line of await bench()) process.stdout.write(`${JSON.stringify(line)}\n`);
