import { FINDING_CODES } from '#shared/finding-codes.ts';
import type { ParameterId } from '#shared/parameters/parameters.ts';
import { PARAMETERS } from '#shared/parameters/parameters.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import { SOURCES } from '#shared/parameters/sources.ts';
import { RULES } from '#shared/rules/all-rules.ts';

const sourceNote = (id: string): string => `${id} [${SOURCES[id as SourceId].status}]`;

const parameterNote = (id: ParameterId): string => `${id} = ${PARAMETERS[id].value} ${PARAMETERS[id].unit}`;

const list = (items: readonly string[], none: string): string => (items.length > 0 ? items.join(', ') : none);

const ruleLines = FINDING_CODES.flatMap((code) => {
  const rule = RULES.get(code);
  if (!rule) return [];
  return [
    `${code}  (${rule.urgencies.join(' or ')})`,
    `  facts       ${list(rule.reads, 'those of the step it reads')}`,
    `  parameters  ${list((rule.parameters ?? []).map(parameterNote), 'none')}`,
    `  sources     ${list(rule.sources.map(sourceNote), code === 'law-not-met' ? 'the clauses of the law tables' : 'common practice')}`,
  ];
});

const parameterLines = (Object.keys(PARAMETERS) as ParameterId[]).map((id) => {
  const { value, unit, basis, sources, since, note } = PARAMETERS[id];
  return `${id} = ${value} ${unit}  (${basis}; since ${since}; ${list(sources.map(sourceNote), 'no source entry')})${note ? `  ${note}` : ''}`;
});

const sourceLines = (Object.keys(SOURCES) as SourceId[]).map((id) => {
  const { title, section, kind, status, statement, value } = SOURCES[id];
  return `${id}  ${title}${section ? `, ${section}` : ''} (${kind}; ${status}): ${statement}${value ? ` ${value}` : ''}`;
});

process.stdout.write(
  ['RULES', ...ruleLines, '', 'PARAMETERS', ...parameterLines, '', 'SOURCES', ...sourceLines, ''].join('\n'),
);
