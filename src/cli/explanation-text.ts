import type { Explanation } from '#shared/explain.ts';
import type { Parameter } from '#shared/parameters/parameters.ts';
import type { Source } from '#shared/parameters/sources.ts';

const parameterLine = ([id, { value, unit, basis, since }]: [string, Parameter]): string =>
  `    parameter ${id} = ${value} ${unit} (${basis}, since ${since})`;

const sourceLine = ([id, { title, section, status, statement }]: [string, Source]): string =>
  `    ${id} ${title}${section ? `, ${section}` : ''} [${status}]: ${statement}`;

const groundLines = ({
  parameters,
  sources,
  weak,
}: Explanation['findings'][number] | Explanation['advice'][number]) => [
  ...Object.entries(parameters).map(parameterLine),
  ...Object.entries(sources).map(sourceLine),
  ...(weak ? ['    (no source text was seen itself: common practice, memory or accounts of others)'] : []),
];

/** An explanation as plain lines, in codes and numbers: no language but that of the standards. */
export const printExplanation = ({ advice, findings }: Explanation): string =>
  [
    ...advice.flatMap((each) => [
      `advice for ${each.childId}: ${each.mode} (${each.certainty}; candidates ${each.candidates.join(', ')})`,
      ...(each.needs.length > 0 ? [`    needs ${each.needs.join(', ')}`] : []),
      ...(each.seatChange ? ['    in another seat'] : []),
      ...groundLines(each),
    ]),
    ...findings.flatMap((each) => [
      `${each.urgency}: ${each.code} [${[each.childId, each.seatId, each.positionId].filter(Boolean).join(', ')}]`,
      `    because of ${each.facts.join(', ')}`,
      ...each.clauses.map(
        ({ id, cite, statute, asOf, seenAs, requires, state }) =>
          `    ${id} ${cite} (${statute}; as of ${asOf}; seen as ${seenAs}) requires ${requires}: ${state}`,
      ),
      ...groundLines(each),
    ]),
  ].join('\n');
