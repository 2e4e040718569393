import type { ListedChild } from '#src/store/case-row.ts';
import { PRIORITIES } from '#src/store/case-row.ts';
import type { CasePage, ListedCase } from '#src/store/cases.ts';
import { type Html, html, typed } from './html.ts';
import type { PageParts } from './page.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

export const PAGE_SIZE = 25;

function childLine(voice: Voice, child: ListedChild, number: number): Html {
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
  return html`<li class="case ${one.priority}">
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

function pager(voice: Voice, page: number, pages: number): Html {
  return html`<nav class="pager" aria-label="${voice.say('list.pages')}">
    ${page > 1 && html`<a class="tap" rel="prev" href="${paths.page(page - 1)}">${voice.say('list.earlier')}</a>`}
    <span>${voice.say('list.pageOf', { page, pages })}</span>
    ${page < pages && html`<a class="tap" rel="next" href="${paths.page(page + 1)}">${voice.say('list.later')}</a>`}
  </nav>`;
}

/** The list of families: what cannot wait first. */
export function listPage(voice: Voice, { cases, total }: CasePage, page: number): PageParts {
  const pages = Math.max(1, Math.ceil(total / PAGE_SIZE));
  const groups = PRIORITIES.map((priority) => ({
    priority,
    inIt: cases.filter((one) => one.priority === priority),
  })).filter(({ inIt }) => inIt.length > 0);
  return {
    title: voice.say('list.title'),
    main: html`<div class="head">
      <h1>${voice.say('list.title')}</h1>
      ${total > 0 && html`<p>${voice.say('list.total', { count: total })}</p>`}
    </div>
    ${
      total === 0 &&
      html`<div class="empty"><p><b>${voice.say('list.empty')}</b></p><p>${voice.say('list.emptyHint')}</p></div>`
    }
    ${groups.map(
      ({ priority, inIt }) => html`<section aria-labelledby="${priority}">
        <h2 id="${priority}" class="group ${priority}">${voice.say(`priority.${priority}`)}</h2>
        <ol class="cases">${inIt.map((one) => caseLine(voice, one))}</ol>
      </section>`,
    )}
    ${pages > 1 && pager(voice, page, pages)}`,
  };
}
