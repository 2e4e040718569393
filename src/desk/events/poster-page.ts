import { instantAt } from '#shared/events/time-zone.ts';
import { textDirection } from '#src/page/direction.ts';
import type { CheckEvent } from '#src/store/events.ts';
import { dateWords, timeWords } from '#src/words/quantities.ts';
import type { Words } from '#src/words/words.ts';
import { assetPath } from '../assets.ts';
import { type Html, html, typed } from '../html.ts';
import type { PageParts } from '../page.ts';
import { paths } from '../paths.ts';
import type { Voice } from '../voice.ts';
import { qrPart } from './qr-part.ts';

export interface PosterView {
  readonly voice: Voice;
  readonly words: Words;
  readonly event: CheckEvent;
  /** The languages of the poster, in their order. */
  readonly chosen: readonly string[];
  readonly languages: readonly string[];
  /** Where families answer. */
  readonly address: string;
  /** The caregiver's page's own caution, in a language. */
  readonly caution: (language: string) => string;
}

/** With more than these the header is set smaller. */
const LONG = 90;
const MOST_LABELS = 3;

/** From so many languages on they are set smaller, so that all fit on one sheet. */
const SIZES = [
  [1, 'one'],
  [4, 'few'],
  [8, 'some'],
] as const;

/** The day and hours of an event in one of the families' languages. */
function whenIn(language: string, { heldOn, timeZone, hours }: CheckEvent): string {
  const day = dateWords(language, heldOn);
  if (!hours) return day;
  const clock = (time: string) => timeWords(language, instantAt({ date: heldOn, time }, timeZone), timeZone);
  return `${day}, ${clock(hours.opensAt)} – ${clock(hours.closesAt)}`;
}

function block({ words, event, caution }: PosterView, language: string): Html {
  const say = words.say(language, 'poster');
  return html`<section class="tongue" lang="${language}" dir="${textDirection(language)}">
    <h3>${say('title')}</h3>
    <p class="day">${whenIn(language, event)}</p>
    <p>${say('invite')}${event.hours !== null && ` ${say('times')}`}</p>
    <p>${say('scan')}</p>
    <p class="caution">${caution(language)}</p>
  </section>`;
}

/** The address beside the code, for whoever cannot scan it; with more languages than these it speaks for itself. */
function addressPart({ words, chosen, address }: PosterView): Html {
  return html`${chosen.length <= MOST_LABELS && chosen.map((language) => html`<p lang="${language}" dir="${textDirection(language)}">${words.say(language, 'poster')('address')}</p>`)}
    <p class="address" dir="ltr">${address}</p>`;
}

/** One sheet to hang up: the code of the chat, and what it is for in the chosen languages. Black on white. */
export function posterPage(view: PosterView): PageParts {
  const { voice, event, chosen, languages, address } = view;
  const size = SIZES.find(([most]) => chosen.length <= most)?.[1] ?? 'many';
  const title = voice.say('poster.title', { name: event.name });
  return {
    title,
    layout: 'print',
    main: html`<link rel="stylesheet" href="${assetPath('poster.css')}">
    <div class="screen-only">
      <p><a href="${paths.event(event.id)}">${voice.say('board.toBoard')}</a></p>
      <h1>${title}</h1>
      <form method="get" action="${paths.poster(event.id)}"><fieldset><legend>${voice.say('poster.languages')}</legend>
        ${languages.map(
          (tag) =>
            html`<label><input type="checkbox" name="lang" value="${tag}"${chosen.includes(tag) && html` checked`}> ${voice.measures.languageName(tag)}</label>`,
        )}</fieldset>
        <button type="submit">${voice.say('filter.show')}</button>
        <button type="button" id="print" data-wait hidden>${voice.say('page.print')}</button>
      </form>
    </div>
    <article class="poster ${size}">
      <header${event.name.length + event.place.length > LONG && html` class="long"`}><h2>${typed(event.name)}</h2><p class="place">${typed(event.place)}</p></header>
      <figure>${qrPart(address, voice.say('poster.code'))}<figcaption>${addressPart(view)}</figcaption></figure>
      <div class="tongues">${chosen.map((language) => block(view, language))}</div>
    </article>`,
  };
}
