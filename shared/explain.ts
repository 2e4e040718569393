import { ADVICE_PARAMETERS, ADVICE_SOURCES } from './advice.ts';
import type { Advice, Assessment, Finding, LawClauseResult } from './assessment.ts';
import type { Parameter, ParameterId } from './parameters/parameters.ts';
import { PARAMETERS } from './parameters/parameters.ts';
import type { Source, SourceId } from './parameters/sources.ts';
import { findSource } from './parameters/sources.ts';
import { RULES } from './rules/all-rules.ts';

interface Ground {
  readonly parameters: Readonly<Partial<Record<ParameterId, Parameter>>>;
  readonly sources: Readonly<Record<string, Source>>;
  /** No source entry was itself seen: it rests on common practice, memory or accounts of others. */
  readonly weak: boolean;
}

export interface FindingExplanation extends Ground, Omit<Finding, 'sources'> {
  /** The clauses not met, for the law's finding. */
  readonly clauses: readonly LawClauseResult[];
}

export interface AdviceExplanation extends Ground, Advice {
  readonly childId: string;
}

export interface Explanation {
  readonly advice: readonly AdviceExplanation[];
  readonly findings: readonly FindingExplanation[];
}

const groundOf = (parameterIds: readonly ParameterId[], sourceIds: readonly string[]): Ground => {
  const parameters = Object.fromEntries(parameterIds.map((id) => [id, PARAMETERS[id]]));
  const ids = new Set([...sourceIds, ...parameterIds.flatMap((id) => PARAMETERS[id].sources)]);
  const sources: Record<string, Source> = {};
  for (const id of [...ids].sort()) {
    const source = findSource(id);
    if (source) sources[id] = source;
  }
  return { parameters, sources, weak: !Object.values(sources).some(({ status }) => status === 'seen') };
};

const unmetClauses = (assessment: Assessment, { code, childId }: Finding): readonly LawClauseResult[] =>
  code === 'law-not-met'
    ? (assessment.children.find((child) => child.childId === childId)?.law.clauses ?? []).filter(
        ({ satisfied, state }) => satisfied === false && state !== 'upcoming',
      )
    : [];

/** For every advice and finding: the parameters it compared with, the facts that raised it and the source entries. Codes only. */
export const explain = (assessment: Assessment): Explanation => ({
  advice: assessment.children.map(({ childId, advice }) => ({
    childId,
    ...advice,
    ...groundOf(ADVICE_PARAMETERS, ADVICE_SOURCES satisfies readonly SourceId[]),
  })),
  findings: assessment.findings.map((finding) => {
    const { sources, ...rest } = finding;
    const ground = groundOf(RULES.get(finding.code)?.parameters ?? [], sources);
    const clauses = unmetClauses(assessment, finding);
    return { ...rest, ...ground, clauses, weak: clauses.length === 0 && ground.weak };
  }),
});
