import { STEP } from '#shared/fact-keys.ts';
import type { ChildRule } from './rule.ts';
import { NOW, VISIT } from './rule.ts';

/** The duties of the place: clauses, statutes and sources stand in the law tables (laws/), not here. */
export const LAW_RULES: readonly ChildRule[] = [
  {
    code: 'law-not-met',
    urgencies: [NOW, VISIT],
    sources: [],
    subject: 'child',
    reads: ['jurisdiction', 'mode', 'row'],
    steps: STEP.law,
    when: (_, { law }) => law.urgency,
    because: (_, { law }) => {
      const unmet = law.clauses.filter(({ satisfied }) => satisfied === false);
      const byRow = unmet.some(({ requires }) => requires === 'rear-seat');
      const byMode = unmet.some(({ requires }) => requires !== 'rear-seat');
      return [
        'jurisdiction',
        'age',
        'weight',
        'height',
        ...(byMode ? (['mode'] as const) : []),
        ...(byRow ? (['row'] as const) : []),
      ];
    },
  },
];
