import type { FactKey } from './fact-keys.ts';
import { limitKey } from './fact-keys.ts';
import type { ChildFacts } from './facts.ts';
import type { ProbedFact } from './unknowns.ts';

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
  'headClearance',
];

/** Paths of the facts that would settle a provisional advice: each has a completion that leaves fewer candidates. */
export const adviceNeeds = (facts: ChildFacts, probed: readonly ProbedFact[]): string[] =>
  ADVICE_FACTS.flatMap((key) => {
    // An absent clearance counts as enough: it leaves nothing open.
    if (key === 'headClearance' && facts.headClearance === null) return [];
    const found = probed.find((each) => each.key === key);
    return found?.probe.narrowsAdvice ? [found.path] : [];
  });
