import { ADVICE_PARAMETERS, ADVICE_SOURCES } from '#shared/advice.ts';
import { FACT_SPECS, STEP } from '#shared/fact-keys.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import type { ParameterId } from '#shared/parameters/parameters.ts';
import { PARAMETERS } from '#shared/parameters/parameters.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import { SOURCES } from '#shared/parameters/sources.ts';
import { RULE_FAMILIES, RULES } from '#shared/rules/all-rules.ts';
import type { ChildRule, SeatRule } from '#shared/rules/rule.ts';
import { SEAT_FACT_SPECS } from '#shared/seat-facts.ts';

const sourceNote = (id: string): string => `${id} [${SOURCES[id as SourceId].status}]`;

const parameterNote = (id: ParameterId): string => `${id} = ${PARAMETERS[id].value} ${PARAMETERS[id].unit}`;

const list = (items: readonly string[], none: string): string => (items.length > 0 ? items.join(', ') : none);

const fileOf = new Map(
  Object.entries(RULE_FAMILIES).flatMap(([family, rules]) =>
    rules.map(({ code }) => [code, `shared/rules/${family}.ts`] as const),
  ),
);

/** What a rule reads, as paths below the owner of each fact, and the steps of the judgement before it. */
const readBy = (rule: ChildRule | SeatRule): readonly string[] => {
  if (!('subject' in rule)) return rule.reads.map((key) => `seat.${SEAT_FACT_SPECS[key].name}`);
  const steps = Object.entries(STEP).filter(([, bit]) => ((rule.steps ?? 0) & bit) !== 0);
  return [
    ...rule.reads.map((key) => `${FACT_SPECS[key].owner}.${FACT_SPECS[key].name}`),
    ...steps.map(([name]) => `the ${name}`),
  ];
};

const ruleLines = FINDING_CODES.flatMap((code) => {
  const rule = RULES.get(code);
  if (!rule) return [];
  const none = code === 'law-not-met' ? 'the clauses of the law tables' : 'common practice';
  return [
    `${code}  (${rule.urgencies.join(' or ')})  ${fileOf.get(code)}`,
    `  reads       ${readBy(rule).join(', ')}`,
    `  parameters  ${list((rule.parameters ?? []).map(parameterNote), 'none')}`,
    `  sources     ${list(rule.sources.map(sourceNote), none)}`,
  ];
});

const adviceLines = [
  'advice  shared/advice.ts',
  `  parameters  ${ADVICE_PARAMETERS.map(parameterNote).join(', ')}`,
  `  sources     ${ADVICE_SOURCES.map(sourceNote).join(', ')}`,
];

const parameterLines = (Object.keys(PARAMETERS) as ParameterId[]).map((id) => {
  const { value, unit, basis, sources, since, note } = PARAMETERS[id];
  return `${id} = ${value} ${unit}  (${basis}; since ${since}; ${list(sources.map(sourceNote), 'no source entry')})${note ? `  ${note}` : ''}`;
});

const sourceLines = (Object.keys(SOURCES) as SourceId[]).map((id) => {
  const { title, section, kind, status, statement, value } = SOURCES[id];
  return `${id}  ${title}${section ? `, ${section}` : ''} (${kind}; ${status}): ${statement}${value ? ` ${value}` : ''}`;
});

process.stdout.write(
  ['RULES', ...ruleLines, ...adviceLines, '', 'PARAMETERS', ...parameterLines, '', 'SOURCES', ...sourceLines, ''].join(
    '\n',
  ),
);
