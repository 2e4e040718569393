import type { LawClauseResult, Urgency } from '#shared/assessment.ts';
import type { AdvisedMode, ModeInUse } from '#shared/case.ts';
import type { LawFact } from './facts.ts';
import type { ChildFacts } from './grid.ts';
import { clauseSets } from './grid.ts';
import type { CompiledClause, CompiledJurisdiction } from './jurisdictions.ts';
import { findJurisdiction } from './jurisdictions.ts';
import type { Duty } from './law-table.ts';

export interface LawInput extends ChildFacts {
  readonly jurisdiction: string | null;
  /** A full date: clauses that take effect later are upcoming. */
  readonly asOf: string;
  readonly modeInUse: ModeInUse | null;
  readonly row: number | null;
  /** Facts answered: true where they hold, false where they do not, absent where unanswered. */
  readonly facts: Readonly<Partial<Record<LawFact, boolean>>>;
}

export interface LawJudgement {
  readonly status: 'meets' | 'does-not-meet' | 'unknown';
  /** Clauses that apply, may apply or are upcoming; those that are out are left out. */
  readonly clauses: readonly LawClauseResult[];
  /** Of the finding law-not-met; null where it is not raised. */
  readonly urgency: Extract<Urgency, 'before-next-trip' | 'at-the-visit'> | null;
  /** The least protective mode that meets every clause which certainly applies with no exception unanswered. */
  readonly demands: AdvisedMode | null;
}

const NO_DATA: LawJudgement = { status: 'unknown', clauses: [], urgency: null, demands: null };

/** Duties on the device and modes by the protection they ask for or give, from 4 to 0. */
const ASKED: Readonly<Record<Exclude<Duty, 'rear-seat'>, number>> = {
  'rear-facing': 4,
  harness: 3,
  'child-restraint': 2,
  'booster-or-restraint': 2,
  'belt-or-restraint': 1,
};
const GIVEN: Readonly<Record<ModeInUse, number>> = {
  'rear-facing': 4,
  'forward-facing': 3,
  booster: 2,
  'seat-belt': 1,
  'lap-held': 0,
  none: 0,
};
const LEAST_MODE: readonly (AdvisedMode | null)[] = [null, 'seat-belt', 'booster', 'forward-facing', 'rear-facing'];

const satisfied = (duty: Duty, mode: ModeInUse | null, row: number | null): boolean | null => {
  if (duty === 'rear-seat') return row === null ? null : row > 1;
  return mode === null ? null : GIVEN[mode] >= ASKED[duty];
};

/** A clause that the known facts leave standing. */
interface Standing {
  readonly clause: CompiledClause;
  /** Its bit in a clause set. */
  readonly bit: number;
  readonly satisfied: boolean | null;
  /** Facts any of which would lift it, all unanswered. */
  readonly exceptions: readonly LawFact[];
  /** A fact it turns on is unanswered. */
  readonly conditional: boolean;
}

const stand = (clause: CompiledClause, index: number, { facts, modeInUse, row }: LawInput): Standing | null => {
  if (clause.exceptWhen.some((fact) => facts[fact] === true)) return null;
  if (clause.onlyWhen.some((fact) => facts[fact] === false)) return null;
  return {
    clause,
    bit: 1 << index,
    satisfied: satisfied(clause.requires, modeInUse, row),
    exceptions: clause.exceptWhen.filter((fact) => facts[fact] === undefined),
    conditional: clause.onlyWhen.some((fact) => facts[fact] !== true),
  };
};

/** What the clauses in play in one completion come to. */
const weigh = (standing: readonly Standing[], inPlay: number) => {
  let open = false;
  let unmet = false;
  let urgent = false;
  let demand = 0;
  for (const { clause, bit, satisfied, exceptions, conditional } of standing) {
    if ((inPlay & bit) === 0) continue;
    if (satisfied !== true) open = true;
    if (conditional) continue;
    if (satisfied === false) unmet = true;
    if (clause.requires === 'rear-seat' || exceptions.length > 0) continue;
    if (satisfied === false) urgent = true;
    demand = Math.max(demand, ASKED[clause.requires]);
  }
  return { open, unmet, urgent, demand };
};

const stateOf = ({ bit, conditional, exceptions }: Standing, always: number): LawClauseResult['state'] => {
  if ((always & bit) === 0) return 'unknown';
  if (conditional) return 'conditional';
  return exceptions.length > 0 ? 'unless' : 'applies';
};

const result = (
  { clause, exceptions, satisfied }: Pick<Standing, 'clause' | 'exceptions' | 'satisfied'>,
  { record }: CompiledJurisdiction,
  state: LawClauseResult['state'],
): LawClauseResult => ({
  id: clause.id,
  cite: clause.cite,
  statute: record.statute,
  // An upcoming clause carries the day from which it counts.
  asOf: clause.effective ?? record.asOf,
  seenAs: clause.seenAs,
  confidence: record.confidence,
  requires: clause.requires,
  state,
  satisfied,
  unless: [...exceptions],
});

/**
 * Judges the mode in use and the row by the clauses of a jurisdiction (rules.md, Law), over every completion of the
 * child's facts together: the law is not met if in each of them some clause is unmet, not always the same one. A clause
 * whose exception is unanswered stands. An unknown jurisdiction is unknown, never an error.
 */
export const judgeLaw = (input: LawInput): LawJudgement => {
  const jurisdiction = input.jurisdiction === null ? undefined : findJurisdiction(input.jurisdiction);
  if (jurisdiction === undefined) return NO_DATA;
  const isUpcoming = ({ effective }: CompiledClause) => effective !== null && effective > input.asOf;
  const standing = jurisdiction.clauses
    .map((clause, i) => (isUpcoming(clause) ? null : stand(clause, i, input)))
    .filter((each) => each !== null);

  let always = -1;
  let ever = 0;
  let everOpen = false;
  let alwaysUnmet = true;
  let alwaysUrgent = true;
  let leastDemand = LEAST_MODE.length - 1;
  for (const inPlay of clauseSets(jurisdiction.grid, input)) {
    always &= inPlay;
    ever |= inPlay;
    const { open, unmet, urgent, demand } = weigh(standing, inPlay);
    everOpen ||= open;
    alwaysUnmet &&= unmet;
    alwaysUrgent &&= urgent;
    leastDemand = Math.min(leastDemand, demand);
  }

  return {
    status: alwaysUnmet ? 'does-not-meet' : everOpen ? 'unknown' : 'meets',
    clauses: [
      ...standing
        .filter(({ bit }) => (ever & bit) !== 0)
        .map((each) => result(each, jurisdiction, stateOf(each, always))),
      ...jurisdiction.clauses
        .filter(isUpcoming)
        .map((clause) => result({ clause, exceptions: clause.exceptWhen, satisfied: null }, jurisdiction, 'upcoming')),
    ],
    urgency: alwaysUrgent ? 'before-next-trip' : alwaysUnmet ? 'at-the-visit' : null,
    demands: LEAST_MODE[leastDemand] ?? null,
  };
};
