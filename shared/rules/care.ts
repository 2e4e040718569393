import { STEP } from '#shared/fact-keys.ts';
import { isBelow } from '#shared/interval.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { VISIT } from './rule.ts';

const PRETERM_UNDER = parameter('preterm-care-under-age');

/** Children who need more than the rules can say, and sizes that cannot be right. */
export const CARE_RULES: readonly ChildRule[] = [
  {
    code: 'special-care',
    urgencies: [VISIT],
    sources: ['S-162', 'S-163', 'S-169', 'S-170'],
    parameters: ['preterm-care-under-age'],
    subject: 'child',
    reads: ['bornBeforeWeek37', 'medicalNeeds'],
    steps: STEP.size,
    when: ({ bornBeforeWeek37, medicalNeeds }, { body }) =>
      medicalNeeds === true || (bornBeforeWeek37 === true && isBelow(body.age.max, PRETERM_UNDER)) ? VISIT : null,
    because: ({ bornBeforeWeek37, medicalNeeds }) => [
      ...(bornBeforeWeek37 === true ? (['bornBeforeWeek37', 'age'] as const) : []),
      ...(medicalNeeds === true ? (['medicalNeeds'] as const) : []),
    ],
  },
  {
    code: 'size-implausible',
    urgencies: [VISIT],
    sources: ['WHO-2006', 'CDC-2000'],
    subject: 'child',
    reads: [],
    steps: STEP.size,
    when: (_, { body }) => (body.weightImplausible || body.heightImplausible ? VISIT : null),
    because: (_, { body }) => [
      ...(body.weightImplausible ? (['weight'] as const) : []),
      ...(body.heightImplausible ? (['height'] as const) : []),
      'age',
    ],
  },
];
