import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { assessmentSchema } from '#shared/assessment.ts';

const root = new URL('../../..', import.meta.url).pathname;

const run = (input: string, ...args: string[]) => {
  const result = spawnSync(process.execPath, ['src/cli/assess.ts', ...args], {
    cwd: root,
    input,
    encoding: 'utf8',
    maxBuffer: 1 << 30,
  });
  return { status: result.status, lines: result.stdout.split('\n').slice(0, -1), stderr: result.stderr };
};

const kase = (weightKg: number) => ({
  asOf: '2026-05-16',
  jurisdiction: 'US-CA',
  children: [{ id: 'c1', ageMonths: 20, sex: 'male', weightKg, heightCm: 84 }],
  seats: [{ id: 's1', kind: 'convertible', recall: 'unchecked' }],
  uses: [{ childId: 'c1', seatId: 's1', mode: 'rear-facing' }],
});

describe('the assess command', () => {
  it('answers one case spread over several lines', () => {
    const { status, lines } = run(JSON.stringify(kase(11), null, 2));
    expect(status).toBe(0);
    expect(lines).toHaveLength(1);
    expect(assessmentSchema.safeParse(JSON.parse(lines[0] ?? '')).success).toBe(true);
  });

  it('answers a line each and ignores blank ones', () => {
    const { status, lines } = run(`${JSON.stringify(kase(11))}\n\n  \n${JSON.stringify(kase(12))}\n`);
    expect(status).toBe(0);
    expect(lines).toHaveLength(2);
  });

  it('answers nothing at all with nothing', () => {
    expect(run('')).toMatchObject({ status: 0, lines: [] });
  });

  it.each([
    ['not JSON', '{"asOf":', '$'],
    ['prose', 'hello', '$'],
    ['a list', '[]', '$'],
    [
      'a broken schema',
      JSON.stringify({ ...kase(11), children: [{ id: 'c1', weightKg: -1 }] }),
      '$.children[0].weightKg',
    ],
    ['a dangling id', JSON.stringify({ ...kase(11), seats: [] }), '$.uses[0].seatId'],
  ])('says where %s is broken and answers the other lines', (_, broken, path) => {
    const good = JSON.stringify(kase(11));
    const { status, lines } = run([good, broken, good].join('\n'));
    expect(status).toBe(2);
    expect(lines).toHaveLength(3);
    expect(lines[0]).toBe(lines[2]);
    expect(JSON.parse(lines[1] ?? '')).toEqual({ error: { path, message: expect.stringMatching(/\S/) } });
  });

  it('answers a stream of 10,000 cases with broken lines among them', () => {
    const input = Array.from({ length: 10_000 }, (_, i) =>
      i % 10 === 7 ? '{"asOf":7}' : JSON.stringify(kase(8 + (i % 60) / 10)),
    );
    const { status, lines } = run(input.join('\n'));
    expect(status).toBe(2);
    expect(lines).toHaveLength(10_000);
    expect(lines.filter((line) => line.startsWith('{"error"'))).toHaveLength(1000);
    expect(JSON.parse(lines[7] ?? '')).toMatchObject({ error: { path: '$.asOf' } });
  });

  it('explains the findings with their sources where asked', () => {
    const { status, lines } = run(JSON.stringify(kase(11)), '--explain');
    const text = lines.join('\n');
    expect(status).toBe(0);
    expect(text).toContain('advice for c1: rear-facing (settled');
    expect(text).toMatch(/plan-ahead: seat-recall-unchecked \[s1\]\n {4}because of seats\.s1\.recall\n {4}S-039 /);
  });
});

describe('the rules command', () => {
  it('prints the file, parameters and sources of every rule', () => {
    const { stdout, status } = spawnSync(process.execPath, ['src/cli/rules.ts'], { cwd: root, encoding: 'utf8' });
    expect(status).toBe(0);
    expect(stdout).toMatch(/^seat-expired {2}\(before-next-trip\) {2}shared\/rules\/seat-condition\.ts$/m);
    expect(stdout).toMatch(
      /^booster-min-weight = 40 lb {2}\(rule; since 2024-12-05; S-018 \[secondary\], S-019 \[seen\]\)/m,
    );
    expect(stdout).toMatch(/^S-131 {2}NHTSA/m);
  });
});
