import { AUDIT_ACTIONS, type AuditPage, type AuditRow } from '#src/store/audit.ts';
import type { Person } from '#src/store/people.ts';
import { type Html, html, typed } from './html.ts';
import type { PageParts } from './page.ts';
import { paths } from './paths.ts';
import { selectField } from './select-field.ts';
import { type UsageQuery, usagePath } from './usage-query.ts';
import type { Voice } from './voice.ts';

export interface UsageView {
  readonly page: AuditPage;
  readonly query: UsageQuery;
  readonly people: readonly Person[];
}

function filters(voice: Voice, { query, people }: UsageView): Html {
  const input = (name: 'from' | 'to' | 'subject', type: 'date' | 'search') =>
    html`<p><label for="${name}">${voice.say(`usage.${name}`)}</label>
      <input id="${name}" name="${name}" type="${type}" value="${query[name] ?? ''}"></p>`;
  const names = people.map(({ id, name }) => [id, name] as const);
  const actions = AUDIT_ACTIONS.map((action) => [action, voice.name('auditAction', action)] as const);
  return html`<form method="get" action="${paths.usage}" class="filters" role="search">
    <div class="choices">
      ${selectField(voice, 'who', voice.say('usage.who'), query.who ?? undefined, names)}
      ${selectField(voice, 'what', voice.say('usage.what'), query.what ?? undefined, actions)}
      ${input('subject', 'search')}
      ${input('from', 'date')}
      ${input('to', 'date')}
    </div>
    <p class="do"><button type="submit">${voice.say('filter.show')}</button>
      <a class="tap" href="${paths.usage}">${voice.say('usage.all')}</a></p>
  </form>`;
}

/** Who looked at, changed, sent or exported what, and when; the latest first. */
export function usagePage(voice: Voice, view: UsageView): PageParts {
  const { page, query, people } = view;
  const personOf = (id: string | null) => people.find((person) => person.id === id);
  const who = ({ accountId }: AuditRow): Html | string => {
    const person = personOf(accountId);
    if (person) return html`<a href="${paths.person(person.id)}">${typed(person.name)}</a>`;
    return accountId === null ? voice.say('usage.nobody') : voice.say('usage.gone');
  };
  const what = ({ subject }: AuditRow): Html | string => {
    if (subject === null) return '';
    const person = personOf(subject);
    if (person) return html`<a href="${paths.person(person.id)}">${typed(person.name)}</a>`;
    return /^[A-Z0-9-]{4,20}$/.test(subject) ? html`<a href="${paths.case(subject)}">${subject}</a>` : typed(subject);
  };
  const heads = ['when', 'who', 'what', 'about'] as const;
  return {
    title: voice.say('usage.title'),
    main: html`<div class="head"><h1>${voice.say('usage.title')}</h1><p>${voice.say('usage.how')}</p></div>
    ${filters(voice, view)}
    ${
      page.rows.length === 0
        ? html`<p class="empty">${voice.say('usage.none')}</p>`
        : html`<div class="wide"><table>
      <thead><tr>${heads.map((key) => html`<th scope="col">${voice.say(`usage.${key}`)}</th>`)}</tr></thead>
      <tbody>${page.rows.map(
        (row) => html`<tr>
          <td>${voice.measures.instant(row.at, 'UTC')}</td>
          <td>${who(row)}</td>
          <td>${voice.name('auditAction', row.action)}</td>
          <td>${what(row)}</td>
        </tr>`,
      )}</tbody></table></div>`
    }
    <nav class="pager" aria-label="${voice.say('list.pages')}">
      ${query.after && html`<a class="tap" href="${usagePath(query)}">${voice.say('usage.latest')}</a>`}
      ${page.next && html`<a class="tap" rel="next" href="${usagePath(query, page.next)}">${voice.say('usage.older')}</a>`}
    </nav>`,
  };
}
