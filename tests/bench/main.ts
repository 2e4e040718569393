import { benchArrange } from './arrange.ts';
import { benchAssess } from './assess.ts';
import { benchDesk } from './desk.ts';
import { benchGrowth } from './growth.ts';
import { benchMemory } from './memory.ts';
import { benchPage } from './page.ts';
import { benchPhotos } from './photos.ts';
import { benchScaleOut } from './scale-out.ts';
import { benchStart } from './start.ts';
import { benchTurn } from './turn.ts';
import { benchUnderstanding } from './understanding.ts';

/** Every bench by its name, a JSON line a figure, each beside its baseline from the same run. */
const BENCHES: Readonly<Record<string, () => Promise<readonly object[]>>> = {
  assess: async () => [await benchAssess()],
  arrange: async () => [benchArrange()],
  understanding: async () => benchUnderstanding(),
  page: benchPage,
  desk: benchDesk,
  photos: benchPhotos,
  turn: benchTurn,
  growth: benchGrowth,
  'scale-out': benchScaleOut,
  start: benchStart,
  memory: benchMemory,
};

/** Takes a quarter of an hour, so it runs only where it is asked for. */
const ONLY_BY_NAME = ['memory'];

const named = process.argv.slice(2);
const unknown = named.filter((name) => !Object.hasOwn(BENCHES, name));
if (unknown.length > 0) {
  process.stderr.write(`No bench ${unknown.join(', ')}. There are ${Object.keys(BENCHES).join(', ')}.\n`);
  process.exit(2);
}
for (const [name, bench] of Object.entries(BENCHES))
  if (named.includes(name) || (named.length === 0 && !ONLY_BY_NAME.includes(name)))
    for (const line of await bench()) process.stdout.write(`${JSON.stringify(line)}\n`);
