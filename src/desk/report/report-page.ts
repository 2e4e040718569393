import { isFindingCode } from '#shared/finding-codes.ts';
import { SMALLEST_GROUP } from '#shared/report/anonymous.ts';
import type { Report, ReportLine, Share } from '#shared/report/report.ts';
import type { CheckEvent } from '#src/store/events.ts';
import { mayCoordinate } from '../access.ts';
import { assetPath } from '../assets.ts';
import { type Html, html } from '../html.ts';
import { type PageParts, tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import { selectField } from '../select-field.ts';
import type { Voice } from '../voice.ts';
import { barsPart } from './bars-part.ts';
import { type ReportQuery, reportPath } from './report-query.ts';

export interface ReportView {
  readonly report: Report;
  readonly query: ReportQuery;
  readonly events: readonly CheckEvent[];
  /** An export with names was asked for without saying so on purpose. */
  readonly unsaid?: boolean;
}

const MOST_FINDINGS = 10;

function shareWords(voice: Voice, { part, whole }: Share): string {
  if (whole === 0) return voice.say('report.nothing');
  const percent = new Intl.NumberFormat(voice.language, { style: 'percent' }).format(part / whole);
  // A percentage of very few says more than is known.
  return whole < SMALLEST_GROUP ? `${part} / ${whole}` : `${percent} (${part} / ${whole})`;
}

function figures(voice: Voice, report: Report): Html {
  const rows: readonly (readonly [string, string | number])[] = [
    [voice.say('report.families'), report.families],
    [voice.say('report.children'), report.children],
    [voice.say('report.reportedRight'), shareWords(voice, report.reportedRight)],
    [voice.say('report.visits'), report.visits],
    [voice.say('report.signed'), report.signed],
    [voice.say('report.foundRight'), shareWords(voice, report.foundRight)],
    [voice.say('report.corrected'), shareWords(voice, report.corrected)],
    [voice.say('report.notFound'), shareWords(voice, report.notFound)],
  ];
  return html`<table class="figures"><caption>${voice.say('report.inNumbers')}</caption><tbody>${rows.map(
    ([words, value]) => html`<tr><th scope="row">${words}</th><td class="number">${value}</td></tr>`,
  )}</tbody></table>`;
}

function linesPart(
  voice: Voice,
  id: string,
  title: string,
  heads: { readonly name: string; readonly share: string },
  lines: readonly ReportLine[],
  nameOf: (name: string) => string,
): Html {
  const how = voice.say('report.chartHow', { share: heads.share });
  return html`<section aria-labelledby="${id}"><h2 id="${id}">${title}</h2>
    ${
      lines.length === 0
        ? html`<p>${voice.say('report.tooFew', { count: SMALLEST_GROUP })}</p>`
        : html`<p class="quietly">${how}</p>${barsPart(
            `${id}-bars`,
            title,
            how,
            lines.map(({ name, part, whole }) => ({ words: nameOf(name), part, whole })),
          )}
      <div class="wide"><table><thead><tr><th scope="col">${heads.name}</th><th scope="col" class="number">${heads.share}</th></tr></thead>
      <tbody>${lines.map(
        (line) =>
          html`<tr><th scope="row">${nameOf(line.name)}</th><td class="number">${shareWords(voice, line)}</td></tr>`,
      )}</tbody></table></div>`
    }</section>`;
}

function exportsPart(voice: Voice, viewer: Viewer, { query, unsaid }: ReportView): Html {
  const hidden = Object.entries(query).map(
    ([name, value]) => value !== null && html`<input type="hidden" name="${name}" value="${value}">`,
  );
  return html`<section class="exports" aria-labelledby="exports"><h2 id="exports">${voice.say('report.exports')}</h2>
    <p>${voice.say('report.exportsHow', { count: SMALLEST_GROUP })}</p>
    <p><a class="button" href="${reportPath(paths.reportCsv, query)}" download>CSV</a>
      <a class="button" href="${reportPath(paths.reportJson, query)}" download>JSON</a></p>
    ${
      viewer.person &&
      mayCoordinate(viewer.person) &&
      html`<h3>${voice.say('report.withNames')}</h3>
      <p>${voice.say('report.withNamesHow')}</p>
      ${unsaid && html`<p class="notice bad" role="alert">${voice.say('report.unsaid')}</p>`}
      <form method="post" action="${paths.reportNames}" class="fields">${tokenField(viewer)}${hidden}
        <label class="option"><input type="checkbox" name="names" value="yes" required> <span>${voice.say('report.sayIt')}</span></label>
        <label class="option"><input type="radio" name="form" value="csv" checked> <span>CSV</span></label>
        <label class="option"><input type="radio" name="form" value="json"> <span>JSON</span></label>
        <button type="submit" class="quiet">${voice.say('report.exportNames')}</button>
      </form>`
    }</section>`;
}

/** What was reported and found, as charts and as the same numbers in tables. */
export function reportPage(voice: Voice, viewer: Viewer, view: ReportView): PageParts {
  const { report, query, events } = view;
  const day = (name: 'from' | 'to') =>
    html`<p><label for="${name}">${voice.say(`usage.${name}`)}</label>
      <input id="${name}" name="${name}" type="date" value="${query[name] ?? ''}"></p>`;
  const finding = (code: string) => (isFindingCode(code) ? voice.finding(code).title : code);
  const other = (name: string, words: string) => (name === 'other' ? voice.say('report.other') : words);
  const unknown = (name: string, words: string) => (name === 'unknown' ? voice.say('case.unknown') : words);
  const right = voice.say('report.rightShare');
  return {
    title: voice.say('report.title'),
    main: html`<link rel="stylesheet" href="${assetPath('report.css')}">
    <div class="head"><h1>${voice.say('report.title')}</h1><p>${voice.say('report.how')}</p></div>
    <form method="get" action="${paths.reports}" class="filters">
      <div class="choices">${selectField(
        voice,
        'event',
        voice.say('case.event'),
        query.event ?? undefined,
        events.map(({ id, name }) => [id, name.slice(0, 60)] as const),
      )}${day('from')}${day('to')}</div>
      <p class="do"><button type="submit">${voice.say('filter.show')}</button></p>
    </form>
    ${figures(voice, report)}
    ${linesPart(
      voice,
      'findings',
      voice.say('report.findings'),
      { name: voice.say('report.finding'), share: voice.say('report.ofChildren') },
      report.findings.slice(0, MOST_FINDINGS),
      finding,
    )}
    ${linesPart(
      voice,
      'by-mode',
      voice.say('report.byMode'),
      { name: voice.say('child.ridesNow'), share: right },
      report.byMode,
      (name) => other(name, unknown(name, voice.name('mode', name))),
    )}
    ${linesPart(
      voice,
      'by-language',
      voice.say('report.byLanguage'),
      { name: voice.say('case.language'), share: right },
      report.byLanguage,
      (name) => (name === 'other' ? voice.say('report.other') : voice.measures.languageName(name)),
    )}
    ${exportsPart(voice, viewer, view)}`,
  };
}
