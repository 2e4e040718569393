import { compileCondition } from './conditions.ts';
import europe from './europe.json' with { type: 'json' };
import type { LawFact } from './facts.ts';
import type { Grid, Scope } from './grid.ts';
import { layOut } from './grid.ts';
import type { Clause, Duty, Jurisdiction } from './law-table.ts';
import { loadLawTable } from './law-table.ts';
import us from './us.json' with { type: 'json' };

/** A clause ready to be judged: conditions in kg and cm, absent lists empty. */
export interface CompiledClause extends Scope {
  readonly id: string;
  readonly cite: string;
  readonly requires: Duty;
  readonly onlyWhen: readonly LawFact[];
  readonly exceptWhen: readonly LawFact[];
  /** How the text of this clause was seen; weaker than the record's where the table says so. */
  readonly seenAs: string;
  /** The day from which it counts; null for a clause in force. */
  readonly effective: string | null;
}

export interface CompiledJurisdiction {
  readonly record: Jurisdiction;
  /** Those in force, then those to come. */
  readonly clauses: readonly CompiledClause[];
  readonly grid: Grid;
}

const compileClause = (clause: Clause, record: Jurisdiction, effective: string | null): CompiledClause => ({
  id: clause.id,
  cite: clause.cite,
  requires: clause.requires,
  applies: compileCondition(clause.applies),
  unless: clause.unless ? compileCondition(clause.unless) : null,
  onlyWhen: clause.onlyWhen ?? [],
  exceptWhen: clause.exceptWhen ?? [],
  seenAs: clause.basis ?? (record.status === 'memory' ? 'memory' : record.seenAs),
  effective,
});

const compile = (record: Jurisdiction): CompiledJurisdiction => {
  const clauses = [
    ...record.clauses.map((clause) => compileClause(clause, record, null)),
    ...(record.upcoming ?? []).map((clause) => compileClause(clause, record, clause.effective)),
  ];
  return { record, clauses, grid: layOut(clauses) };
};

const load = (json: unknown): readonly Jurisdiction[] => {
  const result = loadLawTable(json);
  if (!result.ok) throw new Error(`law table: ${result.error.path}: ${result.error.message}`);
  return result.table.jurisdictions;
};

const ALL = new Map([...load(us), ...load(europe)].map((record) => [record.code, compile(record)]));

/** Codes of every jurisdiction with a law table: ISO 3166-2 for US states, ISO 3166-1 elsewhere. */
export const JURISDICTION_CODES: readonly string[] = [...ALL.keys()];

/** The record for a code such as `US-CA` or `GB`; undefined where there is no data. */
export const findJurisdiction = (code: string): CompiledJurisdiction | undefined => ALL.get(code);
