import { z } from 'zod';
import { ADVISED_MODES, RESTRAINT_MODES } from './case.ts';
import { FINDING_CODES } from './finding-codes.ts';

export const URGENCIES = ['before-next-trip', 'at-the-visit', 'plan-ahead'] as const;
export type Urgency = (typeof URGENCIES)[number];

const range = z.strictObject({ min: z.number(), max: z.number() });
const numberOrRange = z.union([z.number(), range]).nullable();
const yearMonth = z
  .string()
  .regex(/^\d{4}-\d{2}$/)
  .nullable();
const verdict = z.enum(['allowed', 'not-allowed', 'unknown']);

const advice = z.strictObject({
  mode: z.enum(ADVISED_MODES),
  certainty: z.enum(['settled', 'provisional']),
  candidates: z.array(z.enum(ADVISED_MODES)),
  needs: z.array(z.string()),
  seatChange: z.boolean(),
  verify: z.array(z.string()),
});

const modeFit = z.strictObject({
  status: z.enum(['not-offered', 'outgrown', 'too-small', 'unknown', 'fits']),
  because: z.array(z.enum(['age', 'weight', 'height', 'head-clearance'])).optional(),
  headroom: z.strictObject({ weightKg: numberOrRange, heightCm: numberOrRange }).optional(),
});

const forecast = z.strictObject({
  mode: z.enum(RESTRAINT_MODES),
  limit: z.enum(['weight', 'height']),
  earliest: yearMonth,
  likely: yearMonth,
  latest: yearMonth,
});

const lawClause = z.strictObject({
  id: z.string(),
  cite: z.string(),
  statute: z.string(),
  asOf: z.string(),
  seenAs: z.string(),
  confidence: z.string(),
  requires: z.string(),
  state: z.enum(['applies', 'unless', 'conditional', 'unknown', 'upcoming']),
  satisfied: z.boolean().nullable(),
  unless: z.array(z.string()),
});

export const assessmentSchema = z.strictObject({
  children: z.array(
    z.strictObject({
      childId: z.string(),
      advice,
      modes: z.strictObject({
        'rear-facing': modeFit,
        'forward-facing': modeFit,
        booster: modeFit,
      }),
      growth: z.strictObject({
        weightZ: numberOrRange,
        heightZ: numberOrRange,
        reference: z.string().nullable(),
      }),
      forecast: z.array(forecast),
      law: z.strictObject({
        status: z.enum(['meets', 'does-not-meet', 'unknown']),
        clauses: z.array(lawClause),
      }),
    }),
  ),
  uses: z.array(
    z.strictObject({
      childId: z.string(),
      seatId: z.string().nullable(),
      lowerAnchors: verdict,
      seatBelt: verdict,
      tether: z.enum(['required', 'not-used', 'unknown']),
      lowerAnchorLimitKg: numberOrRange,
    }),
  ),
  findings: z.array(
    z.strictObject({
      code: z.enum(FINDING_CODES),
      urgency: z.enum(URGENCIES),
      childId: z.string().nullable(),
      seatId: z.string().nullable(),
      positionId: z.string().nullable(),
      /** Paths of the facts that raised it, such as `seats.s1.recall`. */
      facts: z.array(z.string()),
      sources: z.array(z.string()),
    }),
  ),
  unknowns: z.array(z.strictObject({ fact: z.string(), couldRaise: z.array(z.string()) })),
  visit: z.strictObject({
    minutes: z.int(),
    priority: z.enum(['before-travel', 'early', 'routine']),
    skills: z.array(z.enum(['interpreter', 'special-needs'])),
    bring: z.array(
      z.enum(['child', 'seat', 'seat-manual', 'vehicle-manual', 'spare-convertible', 'spare-harness', 'spare-booster']),
    ),
  }),
});

export type Assessment = z.infer<typeof assessmentSchema>;
export type Finding = Assessment['findings'][number];
export type Advice = z.infer<typeof advice>;
export type ModeFit = z.infer<typeof modeFit>;
export type Forecast = z.infer<typeof forecast>;
export type LawClauseResult = z.infer<typeof lawClause>;
