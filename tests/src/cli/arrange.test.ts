import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { arrangementsSchema } from '#shared/arrange.ts';
import { aFamily, REAR_BENCH } from '../../shared/arranging/families.ts';

const root = new URL('../../..', import.meta.url).pathname;

const run = (input: string) => {
  const result = spawnSync(process.execPath, ['src/cli/arrange.ts'], { cwd: root, input, encoding: 'utf8' });
  return {
    status: result.status,
    lines: result.stdout
      .split('\n')
      .slice(0, -1)
      .map((line) => JSON.parse(line)),
  };
};

const family = aFamily(
  [
    { child: 'baby', seat: 'infant', at: 'p2L', mode: 'rear-facing' },
    { child: 'seven', seat: 'booster', at: 'p2R', mode: 'booster' },
  ],
  REAR_BENCH,
);
const many = aFamily(
  Array.from({ length: 9 }, () => ({ child: 'baby' as const, seat: 'infant' as const })),
  REAR_BENCH,
);

describe('the arrange command', () => {
  it('answers a line each in the shape of the contract, the faulty ones by their errors, and ends with 2', () => {
    const broken = { ...family, children: [{ id: 'c1', weightKg: -1 }] };
    const { status, lines } = run([family, broken, many, family].map((one) => JSON.stringify(one)).join('\n'));
    expect(status).toBe(2);
    expect(lines).toHaveLength(4);
    expect(arrangementsSchema.safeParse(lines[0]).success).toBe(true);
    expect(lines[0]).toMatchObject({ total: 6, blockedBy: [] });
    expect(lines[1]).toEqual({ error: { path: '$.children[0].weightKg', message: expect.any(String) } });
    expect(lines[2]).toEqual({ error: { path: '$.children', message: expect.stringContaining('at most 8') } });
    expect(lines[3]).toEqual(lines[0]);
  });

  it('ends with 0 where every case could be answered', () => {
    expect(run(JSON.stringify(family)).status).toBe(0);
  });
});
