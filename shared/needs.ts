import { criticalValues } from './critical-values.ts';
import type { FactKey } from './fact-keys.ts';
import { FACT_SPECS, factPath, limitKey, limitParts, readFact, writeFact } from './fact-keys.ts';
import type { ChildFacts } from './facts.ts';
import type { Judgement } from './judgement.ts';
import { judge } from './judgement.ts';

const LIMITS = ['maxWeightKg', 'maxHeightCm', 'minWeightKg', 'minHeightCm', 'minAgeMonths'] as const;

/** Facts whose absence or range can leave the advice open: the child's size, and what the seat can take. */
const ADVICE_FACTS: readonly FactKey[] = [
  'age',
  'weight',
  'height',
  'sex',
  'kind',
  ...LIMITS.map((name) => limitKey('rear-facing', name)),
  ...LIMITS.map((name) => limitKey('forward-facing', name)),
];

const narrows = (facts: ChildFacts, judgement: Judgement, key: FactKey): boolean => {
  const mode = limitParts(key)?.mode;
  const limits = mode && facts.limits[mode];
  const before = readFact(facts, key);
  const found = criticalValues(facts, judgement, key).some((value) => {
    writeFact(facts, key, value);
    return judge(facts, judgement, FACT_SPECS[key].feeds).advice.modes !== judgement.advice.modes;
  });
  if (mode) facts.limits[mode] = limits ?? null;
  else writeFact(facts, key, before);
  return found;
};

/** Paths of the facts that would settle a provisional advice: each has a completion that leaves fewer candidates. */
export const adviceNeeds = (facts: ChildFacts, judgement: Judgement): string[] => {
  const keys: FactKey[] = ADVICE_FACTS.filter((key) => narrows(facts, judgement, key));
  if (facts.headClearance !== null && narrows(facts, judgement, 'headClearance')) keys.push('headClearance');
  return keys.map((key) => factPath(facts, key)).filter((path) => path !== null);
};
