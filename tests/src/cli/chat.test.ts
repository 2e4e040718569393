import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { assess } from '#shared/assess.ts';
import { preVisitSummarySchema } from '#shared/summary.ts';

const ROOT = new URL('../../../', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'lapwing-chat-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Turn {
  say: string[];
  choices: { id: string; text: string }[];
  many: boolean;
  asking: string | null;
  child?: string;
  told: string[];
  done: boolean;
}

const chat = (...options: string[]): ChildProcessWithoutNullStreams =>
  spawn(process.execPath, ['src/cli/chat.ts', '--today', '2026-05-16', ...options], { cwd: ROOT });

/** Talks to the command line as a script of answers by question would. */
async function talk(answers: Readonly<Record<string, string>>, ...options: string[]): Promise<Turn[]> {
  const child = chat('--json', ...options);
  const turns: Turn[] = [];
  for await (const line of createInterface({ input: child.stdout })) {
    const turn = JSON.parse(line) as Turn;
    turns.push(turn);
    if (turn.done || turns.length > 60) child.stdin.end();
    else child.stdin.write(`${answers[turn.asking ?? ''] ?? 'unsure'}\n`);
  }
  return turns;
}

const FAMILY = {
  consent: 'yes',
  'child-count': '1',
  age: '2 years 4 months',
  weight: '28 lb',
  height: '35 in',
  'care-needs': 'none',
  'riding-mode': 'forward-facing',
  'seat-kind': 'convertible',
  'label-limits': '22-65 lb, up to 49 inches',
  'seat-dates': 'made May 2021, expires Dec 2029',
  'seat-history': 'recall-unchecked',
  position: 'p2L',
  'vehicle-hardware': 'none',
  attachment: 'lower-anchors',
  'install-check': 'moves',
  tether: 'not-attached',
  'harness-check': 'none',
  vehicle: '2014 hatchback',
  place: 'Texas',
  review: 'yes',
};

describe('npm run -s chat', () => {
  it('driven by a script of answers ends with a summary that validates and can be recomputed', async () => {
    const file = join(folder, 'out.json');
    const turns = await talk(FAMILY, '--lang', 'en', '--summary', file);
    expect(turns.at(-1)).toMatchObject({ done: true, asking: null });
    const written: unknown = JSON.parse(readFileSync(file, 'utf8'));
    const summary = preVisitSummarySchema.parse(written);
    expect(summary).toMatchObject({ complete: true, person: false, language: 'en' });
    expect(assess(summary.case)).toEqual(summary.assessment);
    expect(summary.assessment.findings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['tether-not-used', 'loose-at-belt-path', 'seat-recall-unchecked']),
    );
    expect(z.toJSONSchema(preVisitSummarySchema, { io: 'input' })).toMatchObject({ type: 'object' });
  });

  it('writes what is known at the end of input', async () => {
    const file = join(folder, 'part.json');
    const child = chat('--lang', 'en', '--summary', file);
    child.stdin.end('yes\n1\n26 months\n28 lb\n');
    const status = await new Promise((resolve) => child.on('close', resolve));
    expect(status).toBe(0);
    const summary = preVisitSummarySchema.parse(JSON.parse(readFileSync(file, 'utf8')));
    expect(summary.complete).toBe(false);
    expect(summary.case.children).toMatchObject([{ id: 'c1', ageMonths: 26 }]);
  });

  it('writes nothing after "delete"', async () => {
    const file = join(folder, 'deleted.json');
    const child = chat('--lang', 'en', '--summary', file);
    child.stdin.end('yes\n1\n26 months\ndelete\nyes\n');
    await new Promise((resolve) => child.on('close', resolve));
    expect(existsSync(file)).toBe(false);
  });

  it.each([
    [['--lang', 'xx'], 'xx'],
    [['--today', '2026-13-01'], '--today'],
    [['--nonsense'], 'nonsense'],
  ])('refuses %j with a reason', async (options, reason) => {
    const child = chat(...options);
    let errors = '';
    child.stderr.on('data', (chunk: Buffer) => {
      errors += chunk.toString();
    });
    const status = await new Promise((resolve) => child.on('close', resolve));
    expect(status).toBe(2);
    expect(errors).toContain(reason);
    expect(errors).not.toContain('    at ');
  });
});
