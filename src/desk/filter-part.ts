import type { CaseFilter } from '#src/store/case-filter.ts';
import { PRIORITIES } from '#src/store/case-row.ts';
import type { CaseCounts } from '#src/store/cases.ts';
import { type Html, html } from './html.ts';
import { listPath } from './list-query.ts';
import { paths } from './paths.ts';
import { type Option, selectField } from './select-field.ts';
import type { Voice } from './voice.ts';

/** What the list can be filtered by, beside its fixed codes. */
export interface FilterChoices {
  readonly languages: readonly string[];
  readonly events: readonly { readonly id: string; readonly name: string }[];
}

const SHORT = 60;

/** Search and filters; a form that the address carries, so that it can be kept, sent and gone back to. */
export function filterPart(voice: Voice, filter: CaseFilter, { languages, events }: FilterChoices): Html {
  const { search, priority, language, eventId, complete, person } = filter;
  const byName = (a: Option, b: Option) => a[1].localeCompare(b[1], voice.language);
  const narrow = [priority, language, eventId, complete, person].filter((value) => value !== undefined).length;
  const fields = html`<div class="choices">
      ${selectField(
        voice,
        'priority',
        voice.say('filter.priority'),
        priority,
        PRIORITIES.map((one) => [one, voice.say(`priority.${one}`)] as const),
      )}
      ${selectField(
        voice,
        'language',
        voice.say('filter.language'),
        language,
        languages.map((tag) => [tag, voice.measures.languageName(tag)] as const).toSorted(byName),
      )}
      ${
        events.length > 0 &&
        selectField(
          voice,
          'event',
          voice.say('filter.event'),
          eventId,
          events.map(({ id, name }) => [id, name.slice(0, SHORT)] as const),
        )
      }
      ${selectField(
        voice,
        'finished',
        voice.say('filter.finished'),
        complete === undefined ? undefined : complete ? 'yes' : 'no',
        [
          ['yes', voice.say('filter.finishedYes')],
          ['no', voice.say('filter.finishedNo')],
        ],
      )}
      ${selectField(voice, 'person', voice.say('filter.person'), person ? 'yes' : undefined, [['yes', voice.say('filter.personYes')]])}
    </div>`;
  const summary = html`<summary>${narrow > 0 ? voice.say('filter.moreSet', { count: narrow }) : voice.say('filter.more')}</summary>`;
  return html`<form method="get" action="${paths.list}" class="filters" role="search">
    <label for="q">${voice.say('filter.search')}</label>
    <p class="do"><input id="q" name="q" type="search" maxlength="100" value="${search ?? ''}" dir="auto" autocomplete="off">
      <button type="submit">${voice.say('filter.show')}</button></p>
    ${narrow > 0 ? html`<details open>${summary}${fields}</details>` : html`<details>${summary}${fields}</details>`}
    ${(narrow > 0 || search) && html`<a class="tap" href="${paths.list}">${voice.say('filter.clear')}</a>`}
  </form>`;
}

/** How many families of each kind the search holds; each number leads to them. */
export function countPart(voice: Voice, filter: CaseFilter, counts: CaseCounts): Html {
  const { priority, complete, person, ...around } = filter;
  const one = (words: string, number: number, set: CaseFilter, chosen: boolean, kind: string) =>
    html`<li>${
      chosen
        ? html`<a class="tap ${kind}" aria-current="true" href="${listPath(around)}">${words} <b>${number}</b></a>`
        : html`<a class="tap ${kind}" href="${listPath({ ...around, ...set })}">${words} <b>${number}</b></a>`
    }</li>`;
  return html`<ul class="tally">
    ${PRIORITIES.map((each) =>
      one(voice.say(`priority.${each}`), counts.byPriority[each], { priority: each }, priority === each, each),
    )}
    ${one(voice.say('list.person'), counts.person, { person: true }, person === true, 'person')}
    ${one(voice.say('list.unfinished'), counts.unfinished, { complete: false }, complete === false, 'open')}
  </ul>`;
}
