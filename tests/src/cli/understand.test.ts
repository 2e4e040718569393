import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const root = new URL('../../..', import.meta.url).pathname;

const run = (input: string | Buffer) => {
  const result = spawnSync(process.execPath, ['src/cli/understand.ts'], { cwd: root, input, maxBuffer: 1 << 28 });
  const lines = result.stdout.toString('utf8').split('\n').slice(0, -1);
  return { status: result.status, answers: lines.map((line) => JSON.parse(line)), stderr: result.stderr.toString() };
};

const request = (id: string | number, rest: object = {}) =>
  JSON.stringify({ id, language: 'es', asked: 'weight', text: '28 libras', ...rest });

const right = { values: { weightKg: 28 * 0.45359237 }, confidence: 'sure' };

describe('the understand command', () => {
  it('answers a line with its id, values and confidence', () => {
    expect(run(`${request('a')}\n${request(7, { context: { units: 'us', ageMonths: [24, 35] } })}`)).toEqual({
      status: 0,
      answers: [
        { id: 'a', ...right },
        { id: 7, ...right },
      ],
      stderr: '',
    });
  });

  it('answers the whole development set, extra fields and all, a line for a line', () => {
    const set = readFileSync(`${root}tests/dialogs/understanding/dev.jsonl`, 'utf8');
    const { status, answers } = run(set);
    expect(status).toBe(0);
    expect(answers.map(({ id }) => id)).toEqual(
      set
        .split('\n')
        .filter(Boolean)
        .map((line) => JSON.parse(line).id),
    );
    for (const { confidence } of answers) expect(['sure', 'confirm', 'none']).toContain(confidence);
  });

  it('gives an intent beside the values', () => {
    const { answers } = run(request('i', { language: 'en', text: 'why do you ask' }));
    expect(answers).toEqual([{ id: 'i', values: {}, confidence: 'sure', intent: 'why' }]);
  });

  it.each([
    ['an unknown language', { language: 'xx' }, 'language'],
    ['an unknown slot', { asked: 'colour' }, 'asked'],
    ['a missing text', { text: undefined }, 'text'],
    ['a missing slot', { asked: undefined }, 'asked'],
    ['a text that is a number', { text: 28 }, 'text'],
    ['a text that is too long', { text: 'a'.repeat(10_001) }, 'text'],
    ['half of a surrogate pair', { text: 'a\ud800b' }, 'text'],
    ['a day that is none', { context: { today: '2026-02-30' } }, 'context.today'],
    ['a system of units nobody knows', { context: { units: 'cubits' } }, 'context.units'],
  ])('answers %s with an error for that id, and goes on', (_, change, path) => {
    const { status, answers } = run(`${request('bad', change)}\n${request('good')}\n`);
    expect(status).toBe(2);
    expect(answers).toEqual([
      { id: 'bad', error: { path, message: expect.any(String) } },
      { id: 'good', ...right },
    ]);
  });

  it.each([
    ['no JSON', Buffer.from('{"id":')],
    ['bytes that are no text', Buffer.from([0xff, 0xfe, 0x00, 0x80])],
    ['a line of a megabyte', Buffer.from(request('long', { text: 'a'.repeat(1 << 20) }))],
    ['a number', Buffer.from('12')],
    ['null', Buffer.from('null')],
    ['deep brackets', Buffer.from('['.repeat(50_000))],
  ])('answers %s with an error, and goes on', (_, line) => {
    const { status, answers } = run(Buffer.concat([line, Buffer.from(`\n\n${request('good')}`)]));
    expect(status).toBe(2);
    expect(answers).toHaveLength(2);
    expect(answers[0]).toMatchObject({ id: null, error: { path: expect.any(String) } });
    expect(answers[1]).toEqual({ id: 'good', ...right });
  });

  it('answers nothing with nothing', () => {
    expect(run('')).toEqual({ status: 0, answers: [], stderr: '' });
  });
});
