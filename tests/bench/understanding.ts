import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Reading, ReadRequest } from '#dialogs/understanding/types.ts';
import { type Case, count, emptyTally, score } from '../dialogs/understanding/scorer.ts';

const ROUNDS = 5;
/** The slots that the general package has something for; the others are left out of the comparison. */
const SHARED_SLOTS = new Set(['weight', 'height', 'age', 'date', 'yes-no']);

type Read = (request: ReadRequest) => Reading;

const ours = async (): Promise<Read> => {
  const { createReader } = await import('#dialogs/understanding/reader.ts');
  const { loadLexicons } = await import('#src/locales/lexicons.ts');
  return createReader(loadLexicons()).read;
};
const theirs = async (): Promise<Read> => (await import('./general-recognisers.ts')).readByPackage;

const devCases = (): readonly Case[] =>
  readFileSync(new URL('../dialogs/understanding/dev.jsonl', import.meta.url), 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line));

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const rounded = (value: number): number => Number(value.toPrecision(3));

const timesMs = (read: Read, cases: readonly Case[]): number[] => {
  for (const each of cases) read(each);
  return cases.flatMap((each) =>
    Array.from({ length: ROUNDS }, () => {
      const start = performance.now();
      read(each);
      return performance.now() - start;
    }),
  );
};

const scored = (read: Read, cases: readonly Case[]) => {
  const tally = emptyTally();
  for (const each of cases) count(tally, score(each, read(each)));
  return {
    cases: tally.total,
    right: tally.right,
    silentWrong: tally.outcomes['silent-wrong'],
    notReadBack: tally.outcomes['not-read-back'],
  };
};

/** Milliseconds of the first reading in a fresh process, modules loaded, lexicons not yet. */
const firstCallMs = (side: string, language: string): number => {
  const runs = Array.from({ length: 5 }, () =>
    Number(
      spawnSync(process.execPath, [fileURLToPath(import.meta.url), '--first', side, language], { encoding: 'utf8' })
        .stdout,
    ),
  );
  return median(runs);
};

const measureFirst = async (side: string, language: string): Promise<number> => {
  const request: ReadRequest = { language, asked: 'weight', text: '28 kg' };
  if (side === 'package') {
    const read = await theirs();
    const start = performance.now();
    read(request);
    return performance.now() - start;
  }
  const { createReader } = await import('#dialogs/understanding/reader.ts');
  const { loadLexicons } = await import('#src/locales/lexicons.ts');
  const start = performance.now();
  createReader(loadLexicons()).read(request);
  return performance.now() - start;
};

/**
 * The reader beside a general recognisers package on the development cases of the languages and slots that both know,
 * and the reader alone on the whole set. Figures of a set one has built on say little about new messages.
 */
export const benchUnderstanding = async () => {
  const { CULTURES } = await import('./general-recognisers.ts');
  const [read, readByPackage] = [await ours(), await theirs()];
  const cases = devCases();
  const shared = cases.filter(({ asked, language }) => SHARED_SLOTS.has(asked ?? '') && language in CULTURES);
  const own = timesMs(read, cases);
  return [
    {
      bench: 'understanding, whole development set',
      ...scored(read, cases),
      medianMs: rounded(median(own)),
      slowestMs: rounded(Math.max(...own)),
    },
    ...Object.keys(CULTURES).map((language) => {
      const some = shared.filter((each) => each.language === language);
      return {
        bench: `understanding, ${language}, ${[...SHARED_SLOTS].join(', ')}`,
        ...scored(read, some),
        medianMs: rounded(median(timesMs(read, some))),
        firstCallMs: rounded(firstCallMs('ours', language)),
        baseline: '@microsoft/recognizers-text-suite 1.3.1',
        baselineRight: scored(readByPackage, some).right,
        baselineSilentWrong: scored(readByPackage, some).silentWrong,
        baselineMedianMs: rounded(median(timesMs(readByPackage, some))),
        baselineFirstCallMs: rounded(firstCallMs('package', language)),
      };
    }),
  ];
};

if (import.meta.main) {
  const [flag, side = '', language = ''] = process.argv.slice(2);
  if (flag === '--first') process.stdout.write(String(await measureFirst(side, language)));
  else for (const line of await benchUnderstanding()) process.stdout.write(`${JSON.stringify(line)}\n`);
}
