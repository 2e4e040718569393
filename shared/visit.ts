import type { Advice, Assessment, Finding } from './assessment.ts';
import { parameter } from './parameters/parameters.ts';

type Visit = Assessment['visit'];

const BASE = parameter('visit-base');
const PER_CHILD = parameter('visit-per-child');
const PER_FINDING = parameter('visit-per-finding');
const FINDINGS_CAP = parameter('visit-findings-cap-per-child');
const INTERPRETER = parameter('visit-interpreter');
const SPECIAL_CARE = parameter('visit-special-care');
const EARLY_FINDINGS = parameter('visit-early-findings');

const SPARE = {
  'rear-facing': 'spare-convertible',
  'forward-facing': 'spare-harness',
  booster: 'spare-booster',
} as const;

/** Minutes, priority, skills and what to bring (rules.md, Visit). */
export const planVisit = (
  findings: readonly Finding[],
  advice: readonly Advice[],
  needsInterpreter: boolean,
): Visit => {
  const specialCare = findings.some(({ code }) => code === 'special-care');
  const now = findings.filter(({ urgency }) => urgency === 'before-next-trip').length;
  const atVisit = findings.filter(({ urgency }) => urgency === 'at-the-visit').length;
  const children = advice.length;
  const spares = advice
    .filter(({ seatChange, mode }) => seatChange && mode !== 'seat-belt')
    .map(({ mode }) => SPARE[mode as keyof typeof SPARE]);
  return {
    minutes:
      BASE +
      PER_CHILD * children +
      Math.min(PER_FINDING * (now + atVisit), FINDINGS_CAP * children) +
      (needsInterpreter ? INTERPRETER : 0) +
      (specialCare ? SPECIAL_CARE : 0),
    priority: now > 0 ? 'before-travel' : atVisit >= EARLY_FINDINGS || specialCare ? 'early' : 'routine',
    skills: [
      ...(needsInterpreter ? (['interpreter'] as const) : []),
      ...(specialCare ? (['special-needs'] as const) : []),
    ],
    bring: [
      'child',
      'seat',
      'seat-manual',
      'vehicle-manual',
      ...Object.values(SPARE).filter((spare) => spares.includes(spare)),
    ],
  };
};
