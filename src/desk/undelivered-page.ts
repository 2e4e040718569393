import type { DeadLetter } from '#src/store/outbox.ts';
import { type Html, html } from './html.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

export interface UndeliveredView {
  readonly letters: readonly DeadLetter[];
  /** There are more than are shown. */
  readonly more: boolean;
  readonly now: Date;
  /** So many were put back in line just now; null: nobody asked for it. */
  readonly retried: number | null;
}

const STEPS: readonly (readonly [Intl.RelativeTimeFormatUnit, number])[] = [
  ['day', 24 * 60 * 60 * 1000],
  ['hour', 60 * 60 * 1000],
  ['minute', 60 * 1000],
];

/** "3 hours ago", in the largest unit of which one has passed. */
function ago(from: string, now: Date, language: string): string {
  const ms = Math.max(0, now.getTime() - Date.parse(from));
  const [unit, size] = STEPS.find(([, step]) => ms >= step) ?? (['minute', 60 * 1000] as const);
  return new Intl.RelativeTimeFormat(language, { numeric: 'always' }).format(-Math.floor(ms / size), unit);
}

const retry = (voice: Voice, viewer: Viewer, id: string, about: string): Html =>
  html`<form method="post" action="${paths.undelivered}">
    ${tokenField(viewer)}<input type="hidden" name="id" value="${id}">
    <button type="submit" class="${id === 'all' ? '' : 'quiet'}" aria-label="${about}">${voice.say(id === 'all' ? 'undelivered.retryAll' : 'undelivered.retry')}</button>
  </form>`;

function letterPart(voice: Voice, viewer: Viewer, { now }: UndeliveredView, letter: DeadLetter): Html {
  const { id, destination, createdAt, attempts, lastError, reference } = letter;
  const where = voice.name('undeliveredTo', destination);
  const fact = (label: string, value: string | Html) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`;
  return html`<section class="card">
    <h2>${where}</h2>
    <dl class="facts">
      ${fact(voice.say('undelivered.since'), html`${ago(createdAt, now, voice.language)} <span class="quietly below">${voice.measures.instant(createdAt, 'UTC')}</span>`)}
      ${fact(voice.say('undelivered.attempts'), voice.measures.number(attempts))}
      ${fact(voice.say('undelivered.why'), html`<code>${lastError ?? voice.say('case.unknown')}</code>`)}
      ${reference !== null && fact(voice.say('case.reference'), html`<a href="${paths.case(reference)}">${reference}</a>`)}
    </dl>
    ${retry(voice, viewer, id, voice.say('undelivered.retryThis', { where, reference: reference ?? '' }))}
  </section>`;
}

/** What was given up: where it was to go, since when, how often it was tried and why it failed. Nothing of what it says. */
export function undeliveredPage(voice: Voice, viewer: Viewer, view: UndeliveredView): PageParts {
  const { letters, more, retried } = view;
  return {
    title: voice.say('undelivered.title'),
    main: html`<h1>${voice.say('undelivered.title')}</h1>
    <p>${voice.say('undelivered.intro')}</p>
    ${retried !== null && html`<p class="notice" role="status">${voice.say('undelivered.retried', { count: retried })}</p>`}
    ${letters.length === 0 && html`<p>${voice.say('undelivered.none')}</p>`}
    ${letters.length > 0 && retry(voice, viewer, 'all', voice.say('undelivered.retryAll'))}
    ${letters.length > 0 && html`<div class="cards">${letters.map((letter) => letterPart(voice, viewer, view, letter))}</div>`}
    ${more && html`<p>${voice.say('undelivered.more')}</p>`}`,
  };
}
