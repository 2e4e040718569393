import type { ListedChild } from '#src/store/case-row.ts';
import { PRIORITIES } from '#src/store/case-row.ts';
import { type CaseCounts, type CasePage, keyOf, type ListedCase } from '#src/store/cases.ts';
import { countPart, type FilterChoices, filterPart } from './filter-part.ts';
import { type Html, html, typed } from './html.ts';
import { type ListQuery, listPath } from './list-query.ts';
import { livePart } from './live-part.ts';
import type { PageParts } from './page.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

export const PAGE_SIZE = 25;
const SHORT = 40;

/** A child of the list: its name, age and the advised way of riding. */
export function childLine(voice: Voice, child: ListedChild, number: number): Html {
  const { measures } = voice;
  const name = child.name?.trim() || voice.say('case.child', { number });
  const age = child.ageMonths ? measures.age(child.ageMonths) : voice.say('list.ageUnknown');
  const key = child.certainty === 'provisional' ? 'list.adviseProvisional' : 'list.advise';
  return html`<li><b>${typed(name)}</b> <span class="quietly">${age}</span>${
    child.mode && html`<span class="advice">${voice.say(key, { mode: voice.name('mode', child.mode) })}</span>`
  }</li>`;
}

function caseLine(voice: Voice, one: ListedCase): Html {
  const children = one.children;
  const counts = [
    one.urgentCount > 0 && html`<li class="mark urgent">${voice.say('list.urgent', { count: one.urgentCount })}</li>`,
    one.visitCount > 0 && html`<li>${voice.say('list.visit', { count: one.visitCount })}</li>`,
    one.verifyCount > 0 && html`<li>${voice.say('list.verify', { count: one.verifyCount })}</li>`,
    one.person && html`<li class="mark person">${voice.say('list.person')}</li>`,
    !one.complete && html`<li class="mark open">${voice.say('list.unfinished')}</li>`,
  ];
  const nicknames = (children ?? []).flatMap(({ name }) => name?.trim().slice(0, SHORT) || []);
  const names = [...nicknames.slice(0, 3), `(${one.reference})`].join(' ');
  return html`<li class="case ${one.priority}" data-reference="${one.reference}" data-names="${names}">
    <h3><a href="${paths.case(one.reference)}">${one.reference}</a></h3>
    <ul class="kids">
      ${children === null && html`<li>${voice.say('list.unreadable')}</li>`}
      ${children?.length === 0 && html`<li>${voice.say('list.noChild')}</li>`}
      ${children?.map((child, i) => childLine(voice, child, i + 1))}
    </ul>
    <p class="when"><span>${voice.measures.languageName(one.language)}</span> <span>${voice.say('list.minutes', { count: one.minutes })}</span></p>
    <ul class="counts">${counts}</ul>
  </li>`;
}

/** What the list shows, and under which filter. */
export interface ListView {
  readonly found: CasePage;
  readonly query: ListQuery;
  readonly counts: CaseCounts;
  readonly choices: FilterChoices;
}

function pager(voice: Voice, { found: { cases, total, before }, query: { filter } }: ListView): Html | false {
  const [first, last] = [cases[0], cases.at(-1)];
  if (!first || !last || cases.length === total) return false;
  const shown = voice.say('list.shown', { from: before + 1, to: before + cases.length, count: total });
  return html`<nav class="pager" aria-label="${voice.say('list.pages')}">
    ${before > 0 && html`<a class="tap" rel="prev" href="${listPath(filter, { side: 'before', key: keyOf(first) })}">${voice.say('list.earlier')}</a>`}
    <span>${shown}</span>
    ${before + cases.length < total && html`<a class="tap" rel="next" href="${listPath(filter, { side: 'after', key: keyOf(last) })}">${voice.say('list.later')}</a>`}
  </nav>`;
}

function nothing(voice: Voice, { found: { total }, query: { filter } }: ListView): Html {
  const empty = (title: string, more: Html | string) =>
    html`<div class="empty"><p><b>${title}</b></p><p>${more}</p></div>`;
  const link = (href: string, words: string) => html`<a class="tap" href="${href}">${words}</a>`;
  if (total > 0) return empty(voice.say('list.pastEnd'), link(listPath(filter), voice.say('list.first')));
  return Object.keys(filter).length > 0
    ? empty(voice.say('list.noMatch'), link(paths.list, voice.say('filter.clear')))
    : empty(voice.say('list.empty'), voice.say('list.emptyHint'));
}

/** The list of families: what cannot wait first, the newest first among equals. */
export function listPage(voice: Voice, view: ListView): PageParts {
  const { found, query, counts, choices } = view;
  const { cases, total } = found;
  const groups = PRIORITIES.map((priority) => ({
    priority,
    inIt: cases.filter((one) => one.priority === priority),
  })).filter(({ inIt }) => inIt.length > 0);
  const filtered = Object.keys(query.filter).length > 0;
  return {
    title: voice.say('list.title'),
    main: html`<div class="head"><h1>${voice.say('list.title')}</h1></div>
    ${(total > 0 || filtered) && filterPart(voice, query.filter, choices)}
    ${livePart(voice)}
    <div id="families">
      ${(total > 0 || filtered) && html`<p>${voice.say('list.total', { count: total })}</p>${countPart(voice, query.filter, counts)}`}
      ${cases.length === 0 && nothing(voice, view)}
      ${groups.map(
        ({ priority, inIt }) => html`<section aria-labelledby="${priority}-group">
          <h2 id="${priority}-group" class="group ${priority}">${voice.say(`priority.${priority}`)}</h2>
          <ol class="cases">${inIt.map((one) => caseLine(voice, one))}</ol>
        </section>`,
      )}
      ${pager(voice, view)}
    </div>`,
  };
}
