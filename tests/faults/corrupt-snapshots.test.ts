import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { expect, it } from 'vitest';
import type { Chance } from '../families/chance.ts';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { until } from './rig/network.ts';
import { makeScene } from './rig/scene.ts';

const DAMAGES = LONG ? 400 : 10;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;

/** What becomes of a stored snapshot; an open value is taken as one that was never sealed. */
const KINDS: Readonly<Record<string, (stored: string, chance: Chance) => string | null>> = {
  'cut off': (stored, chance) => stored.slice(0, chance.whole(0, stored.length - 1)),
  'a character changed': (stored, chance) => {
    const at = chance.whole(0, stored.length - 1);
    return `${stored.slice(0, at)}${stored[at] === 'A' ? 'B' : 'A'}${stored.slice(at + 1)}`;
  },
  gone: () => null,
  'no JSON': () => '{"version":1,',
  'other JSON': (_stored, chance) => chance.oneOf(['[]', '7', '"asking"', 'null', '{"version":1}', '{"version":null}']),
  'of a later version': () => '{"version":99,"value":"dreaming","context":{"language":"en"}}',
  'of another shape': () => '{"version":1,"value":"asking","context":{"language":"en","answers":[7,{"facts":"x"}]}}',
};

it(
  'conversations whose snapshots are damaged under load go on to their summaries',
  async () => {
    const scene = await makeScene('corrupt-snapshots', { seed: 20260521 });
    const { faults, folder, network, service } = scene;
    await service.start();
    const families = scene.load(FAMILIES_AT_ONCE, 0.05);
    await until(() => families.length > 0);
    const database = new DatabaseSync(join(folder, 'lapwing.db'), { timeout: 5000 });
    const damaged: Record<string, number> = {};
    for (let damages = 0; damages < DAMAGES; damages++) {
      await scene.amidst(1, 8);
      // The latest are those that write just now.
      const family = faults.oneOf(families.slice(-2 * FAMILIES_AT_ONCE));
      const kind = faults.oneOf(Object.keys(KINDS));
      database.exec('begin immediate');
      const { snapshot } = database
        .prepare('select snapshot from conversations where id = ?')
        .get(family.conversationId) as { snapshot: string | null };
      const next = snapshot === null ? null : (KINDS[kind]?.(snapshot, faults) ?? null);
      database.prepare('update conversations set snapshot = ? where id = ?').run(next, family.conversationId);
      database.exec('commit');
      damaged[kind] = (damaged[kind] ?? 0) + 1;
    }
    database.close();
    const outcome = await scene.check();
    tell('corrupt snapshots', { damages: DAMAGES, damaged, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    expect(network.traffic.lost).toBe(0);
    expect(Object.keys(network.traffic.refused).filter((status) => status !== '403')).toEqual([]);
  },
  LIMIT_MS,
);
