import type { RestraintMode } from '#shared/case.ts';
import { isFindingCode } from '#shared/finding-codes.ts';
import { SUFFICES } from '#shared/stock/counts.ts';
import type { Bounds } from '#shared/stock/odds.ts';
import { ABOUT_PARTS } from '#shared/stock/parts.ts';
import { SOON_MONTHS, type StockForecast, type StockLine, type StockReason } from '#shared/stock/stock.ts';
import type { CheckEvent } from '#src/store/events.ts';
import { assetPath } from '../assets.ts';
import { eventHead } from '../events/event-menu.ts';
import { type Html, html, typed } from '../html.ts';
import type { PageParts, Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import { sourceLine } from '../source-line.ts';
import type { Voice } from '../voice.ts';

const MOST_MANUALS = 60;

const KIND = {
  'rear-facing': 'spare-convertible',
  'forward-facing': 'spare-harness',
  booster: 'spare-booster',
} as const;

/** What is rarer is left off the page; the file has it. */
const RARELY = 0.05;
const isShown = ({ expected }: { readonly expected: Bounds }): boolean => expected.high >= RARELY;

/** A number, or a range where it is known no closer. */
function boundsWords(voice: Voice, { low, high }: Bounds): string {
  const number = new Intl.NumberFormat(voice.language, { maximumFractionDigits: 1 });
  const [from, to] = [number.format(low), number.format(high)];
  return from === to ? from : voice.say('stock.range', { from, to });
}

const reasonWords = (voice: Voice, { reason }: StockReason): string =>
  isFindingCode(reason) ? voice.finding(reason).title : voice.name('stockReason', reason);

interface Column {
  readonly words: string;
  readonly holds: 'number' | 'words';
}

const table = (
  caption: string,
  columns: readonly Column[],
  rows: readonly (readonly (Html | string | number)[])[],
): Html =>
  html`<div class="wide stock"><table><caption>${caption}</caption>
    <thead><tr>${columns.map(({ words, holds }, i) => html`<th scope="col" class="${i === 0 ? 'item' : holds}">${words}</th>`)}</tr></thead>
    <tbody>${rows.map(
      ([head, ...cells]) =>
        html`<tr><th scope="row">${head}</th>${cells.map((cell, i) => html`<td class="${columns[i + 1]?.holds ?? 'words'}">${cell}</td>`)}</tr>`,
    )}</tbody></table></div>`;

const countColumns = (voice: Voice): readonly Column[] => [
  { words: voice.say('stock.expected'), holds: 'number' },
  { words: voice.say('stock.bring'), holds: 'number' },
];

const counts = (voice: Voice, { expected, enough }: StockLine<string>): readonly (Html | string)[] => [
  boundsWords(voice, expected),
  html`<b>${boundsWords(voice, enough)}</b>`,
];

const seatTable = (voice: Voice, caption: string, lines: readonly StockLine<RestraintMode>[]): Html =>
  table(
    caption,
    [
      { words: voice.say('stock.kind'), holds: 'words' },
      ...countColumns(voice),
      { words: voice.say('stock.why'), holds: 'words' },
    ],
    lines.map((line) => [
      voice.say(`bring.${KIND[line.item]}`),
      ...counts(voice, line),
      html`<ul>${line.reasons.filter(isShown).map((one) => html`<li>${reasonWords(voice, one)}: ${boundsWords(voice, one.expected)}</li>`)}</ul>`,
    ]),
  );

function partTable(voice: Voice, parts: StockForecast['parts']): Html {
  return table(
    voice.say('stock.parts'),
    [
      { words: voice.say('stock.part'), holds: 'words' },
      ...countColumns(voice),
      { words: voice.say('stock.note'), holds: 'words' },
    ],
    parts.map((line) => [
      voice.say(`stockPart.${line.item}`),
      ...counts(voice, line),
      html`${voice.say(`stockPartNote.${line.item}`)} ${
        ABOUT_PARTS[line.item].basis === 'common practice' && html`<i>(${voice.say('sourceKind.common practice')})</i>`
      }`,
    ]),
  );
}

function manualTable(voice: Voice, manuals: StockForecast['manuals']): Html {
  const shown = manuals.slice(0, MOST_MANUALS);
  return html`${table(
    voice.say('stock.manuals'),
    [
      { words: voice.say('stock.manual'), holds: 'words' },
      { words: voice.say('stock.families'), holds: 'number' },
      { words: voice.say('stock.note'), holds: 'words' },
    ],
    shown.map(({ of, name, modelYear, likelyMissing, count }) => [
      html`${voice.say(of === 'seat' ? 'stock.ofSeat' : 'stock.ofVehicle')}: ${typed(name)}${modelYear !== null && ` (${modelYear})`}`,
      count,
      likelyMissing ? voice.say('stock.likelyMissing') : '',
    ]),
  )}
  ${manuals.length > shown.length && html`<p>${voice.say('stock.moreManuals', { count: manuals.length - shown.length })}</p>`}`;
}

const interpreterTable = (voice: Voice, lines: StockForecast['interpreters']): Html =>
  table(
    voice.say('stock.interpreters'),
    [
      { words: voice.say('case.language'), holds: 'words' },
      { words: voice.say('stock.families'), holds: 'number' },
      { words: voice.say('stock.minutes'), holds: 'number' },
    ],
    lines.map(({ language, families, minutes }) => [
      voice.measures.languageName(language),
      boundsWords(voice, families),
      boundsWords(voice, minutes),
    ]),
  );

/** Every source of the forecast once, on demand. */
function sourcesPart(voice: Voice, { seats, soon, parts }: StockForecast): Html {
  const ids = new Set([
    ...[...seats, ...soon].flatMap(({ reasons }) => reasons.flatMap(({ sources }) => sources)),
    ...parts.flatMap(({ item }) => ABOUT_PARTS[item].sources),
  ]);
  return html`<details><summary>${voice.say('case.sources')}</summary>
    <ul>${[...ids].toSorted().map((id) => sourceLine(voice, id))}</ul></details>`;
}

const section = (id: string, title: string, content: Html, none: string | null): Html =>
  html`<section aria-labelledby="${id}"><h3 id="${id}">${title}</h3>${none === null ? content : html`<p class="empty">${none}</p>`}</section>`;

/** What an event is likely to need: seats, parts, manuals and interpreters, with the reasons; one sheet on paper. */
export function stockPage(voice: Voice, viewer: Viewer, event: CheckEvent, forecast: StockForecast): PageParts {
  const { families, children, parts, manuals, interpreters, recallsToLookUp } = forecast;
  const [seats, soon] = [forecast.seats.filter(isShown), forecast.soon.filter(isShown)];
  const percent = new Intl.NumberFormat(voice.language, { style: 'percent' }).format(SUFFICES);
  const none = (lines: readonly unknown[]) => (lines.length > 0 ? null : voice.say('stock.none'));
  const title = voice.say('stock.title', { name: event.name });
  return {
    title,
    main: html`<link rel="stylesheet" href="${assetPath('report.css')}"><link rel="stylesheet" href="${assetPath('events.css')}"><link rel="stylesheet" href="${assetPath('stock.css')}">
    ${eventHead(voice, viewer, event, 'stock')}
    <h2 class="top">${voice.say('stock.heading')}</h2>
    <p>${voice.say('stock.of', { families, children })}</p>
    <p>${voice.say('stock.how', { percent })}</p>
    <p class="tools"><a class="button" href="${paths.stockCsv(event.id)}" download>CSV</a>
      <button type="button" id="print" data-wait class="quiet" hidden>${voice.say('page.print')}</button></p>
    ${section('seats', voice.say('stock.seats'), seatTable(voice, voice.say('stock.seatsCaption'), seats), none(seats))}
    ${recallsToLookUp > 0 && html`<p class="notice">${voice.say('stock.recalls', { count: recallsToLookUp })}</p>`}
    ${section(
      'soon',
      voice.say('stock.soon', { months: SOON_MONTHS }),
      seatTable(voice, voice.say('stock.soonCaption'), soon),
      none(soon),
    )}
    ${section('parts', voice.say('stock.partsHeading'), partTable(voice, parts), none(parts))}
    ${section('manuals', voice.say('stock.manualsHeading'), manualTable(voice, manuals), none(manuals))}
    ${section('interpreters', voice.say('stock.interpretersHeading'), interpreterTable(voice, interpreters), none(interpreters))}
    ${sourcesPart(voice, forecast)}`,
  };
}
