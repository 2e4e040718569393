import { assess } from '#shared/assess.ts';
import type { Case } from '#shared/case.ts';
import { fullCases } from './full-cases.ts';
import { flatFacts, generalEngine, raisedByEngine, SUBSET_CODES } from './general-engine.ts';

const CASES = 500;
const WARM_UP_SECONDS = 1;
const SECONDS = 4;

const cpuSeconds = (since?: NodeJS.CpuUsage): number => {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1e6;
};

/** Rounds over all cases until a processor has been busy for `seconds`; cases a second of processor time. */
const rate = async (cases: number, seconds: number, round: () => unknown): Promise<number> => {
  const start = process.cpuUsage();
  let rounds = 0;
  while (cpuSeconds(start) < seconds) {
    await round();
    rounds++;
  }
  return (rounds * cases) / cpuSeconds(start);
};

/** Median over batches small enough to be allocated between two collections. */
const bytesPerCase = (cases: readonly Case[]): number => {
  const batch = cases.slice(0, 50);
  const deltas = Array.from({ length: 200 }, () => {
    const before = process.memoryUsage().heapUsed;
    for (const family of batch) assess(family);
    return (process.memoryUsage().heapUsed - before) / batch.length;
  }).filter((delta) => delta > 0);
  return Math.round(deltas.sort((a, b) => a - b)[deltas.length >> 1] ?? Number.NaN);
};

const raisedByUs = (family: Case): string[] =>
  assess(family)
    .findings.map(({ code }) => code)
    .filter((code) => SUBSET_CODES.includes(code))
    .sort();

/**
 * Whole assessments (findings, advice, attachment, law, forecast, unknowns, visit) against a general rules engine from
 * npm that runs 31 of the findings only, over the same cases in the same process. Throws where the two disagree.
 */
export const benchAssess = async () => {
  const cases = fullCases(CASES);
  const facts = cases.map(flatFacts);
  const engine = generalEngine();
  for (const [i, family] of cases.entries()) {
    const theirs = await raisedByEngine(engine, facts[i] ?? {});
    const ours = raisedByUs(family);
    if (ours.join() !== theirs.join()) throw new Error(`case ${i}: ${ours.join()} against ${theirs.join()}`);
  }
  const all = () => {
    for (const family of cases) assess(family);
  };
  const allByEngine = async () => {
    for (const each of facts) await engine.run(each);
  };
  await rate(CASES, WARM_UP_SECONDS, all);
  const casesPerSecond = await rate(CASES, SECONDS, all);
  await rate(CASES, WARM_UP_SECONDS, allByEngine);
  const engineRate = await rate(CASES, SECONDS, allByEngine);
  return {
    bench: 'assess',
    casesPerSecond: Math.round(casesPerSecond),
    bytesPerCase: bytesPerCase(cases),
    baseline: 'json-rules-engine, 31 of the findings',
    baselineCasesPerSecond: Math.round(engineRate),
    ratio: Number((casesPerSecond / engineRate).toFixed(1)),
  };
};

if (import.meta.main) process.stdout.write(`${JSON.stringify(await benchAssess())}\n`);
