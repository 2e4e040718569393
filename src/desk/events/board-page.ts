import type { Workload } from '#shared/events/workload.ts';
import type { ArrivalPage } from '#src/store/arrival-lines.ts';
import type { ArrivalCounts } from '#src/store/arrivals.ts';
import type { BoardStore } from '#src/store/board.ts';
import { mayWork } from '../access.ts';
import { assetPath } from '../assets.ts';
import { type Html, html, typed } from '../html.ts';
import { livePart } from '../live-part.ts';
import { type PageParts, tokenField } from '../page.ts';
import { paths } from '../paths.ts';
import { type BoardAround, boardLine, unbookedLine } from './board-line.ts';
import { eventHead } from './event-menu.ts';
import { qrPart } from './qr-part.ts';
import { MAX_WALK_IN, WALK_IN_MINUTES, type WalkInFields } from './walk-in-fields.ts';
import { workloadPart } from './workload-part.ts';

/** What somebody is told after a form. */
export const TOLD = ['stale', 'untimed', 'missing'] as const;
export type Told = (typeof TOLD)[number];

export interface BoardView extends BoardAround {
  readonly here: ArrivalPage;
  readonly expected: ArrivalPage;
  readonly over: ArrivalPage;
  readonly unbooked: Awaited<ReturnType<BoardStore['unbooked']>>;
  readonly counts: ArrivalCounts;
  /** Null: families come without a time. */
  readonly workload: Workload | null;
  readonly told: Told | null;
  readonly walkIn: { readonly fields: WalkInFields; readonly problem: boolean };
  readonly languages: readonly string[];
}

function part(
  view: BoardView,
  key: 'here' | 'expected' | 'unbooked',
  lines: readonly Html[],
  total: number,
): Html | false {
  const { voice } = view;
  const empty = key === 'unbooked' ? false : html`<p class="quietly">${voice.say(`board.${key}None`)}</p>`;
  return (
    (total > 0 || empty !== false) &&
    html`<section aria-labelledby="${key}"><h2 id="${key}">${voice.say(`board.${key}`)} <span class="quietly">${total}</span></h2>
    ${total === 0 ? empty : html`<ol class="cases">${lines}</ol>`}
    ${total > lines.length && html`<p>${voice.say('board.more', { count: total - lines.length })}</p>`}</section>`
  );
}

function overPart(view: BoardView): Html | false {
  const { voice, over } = view;
  return (
    over.total > 0 &&
    html`<details id="over" class="over-part"><summary><h2>${voice.say('board.over')} <span class="quietly">${over.total}</span></h2></summary>
    <ol class="cases">${over.arrivals.map((one) => boardLine(view, one))}</ol>
    ${over.total > over.arrivals.length && html`<p>${voice.say('board.more', { count: over.total - over.arrivals.length })}</p>`}</details>`
  );
}

function tally({ voice, counts }: BoardView): Html {
  const one = (words: string, number: number) => html`<li>${words} <b>${number}</b></li>`;
  const { byState, byLanguage } = counts;
  return html`<ul class="tally numbers">
    ${one(voice.say('board.here'), byState.arrived)}${one(voice.say('board.expected'), byState.booked)}
    ${one(voice.say('board.isDone'), byState.done)}${one(voice.say('board.didNotCome'), byState['no-show'])}
    ${byLanguage.map(({ language, families }) => one(voice.measures.languageName(language), families))}
  </ul>`;
}

function walkInPart({ voice, viewer, event, walkIn: { fields, problem }, languages }: BoardView): Html {
  const option = (value: string, words: string, chosen: boolean) =>
    html`<option value="${value}"${chosen && html` selected`}>${words}</option>`;
  return html`<details class="walk-in"${problem && html` open`}><summary>${voice.say('board.walkIn')}</summary>
    <form method="post" action="${paths.walkIns(event.id)}" class="fields">${tokenField(viewer)}
      <label for="who">${voice.say('board.who')}</label>
      <p class="hint" id="who-hint">${voice.say('board.whoHint')}</p>
      <input id="who" name="who" type="text" maxlength="${MAX_WALK_IN}" required dir="auto" autocomplete="off" value="${fields.who}" aria-describedby="who-hint${problem && ' who-problem'}"${problem && html` aria-invalid="true"`}>
      ${problem && html`<p class="wrong" id="who-problem" role="alert">${voice.say('board.whoMissing', { count: MAX_WALK_IN })}</p>`}
      <div class="pair"><div class="field"><label for="language">${voice.say('case.language')}</label>
        <select id="language" name="language">${languages.map((tag) => option(tag, voice.measures.languageName(tag), tag === fields.language))}</select></div>
      <div class="field"><label for="minutes">${voice.say('case.minutes')}</label>
        <select id="minutes" name="minutes">${WALK_IN_MINUTES.map((count) => option(String(count), voice.say('list.minutes', { count }), count === fields.minutes))}</select></div></div>
      <button type="submit">${voice.say('board.add')}</button>
    </form></details>`;
}

/** The board of an event: who is there, who is expected when, with whom, and how much work each hour holds. */
export function boardPage(view: BoardView): PageParts {
  const { voice, viewer, event, here, expected, unbooked, counts, workload, told } = view;
  const lines = (page: ArrivalPage) => page.arrivals.map((one) => boardLine(view, one));
  return {
    title: voice.say('board.title', { name: event.name }),
    main: html`${['list.css', 'report.css', 'events.css', 'board.css'].map((name) => html`<link rel="stylesheet" href="${assetPath(name as 'board.css')}">`)}
    ${eventHead(voice, viewer, event, 'board')}
    ${told && html`<p class="notice bad" role="status">${voice.say(`boardTold.${told}`)}</p>`}
    ${viewer.person && mayWork(viewer.person) && walkInPart(view)}
    ${livePart(voice, undefined, event.id)}
    <div id="families">
      ${tally(view)}
      ${part(view, 'here', lines(here), here.total)}
      ${part(view, 'expected', lines(expected), expected.total)}
      ${part(
        view,
        'unbooked',
        unbooked.families.map((one) => unbookedLine(view, one)),
        unbooked.total,
      )}
      ${overPart(view)}
      ${workload && workloadPart(voice, workload, counts.withoutTime.minutes, event.timeZone)}
    </div>`,
  };
}

export interface InterviewView extends Pick<BoardAround, 'voice' | 'viewer' | 'event'> {
  readonly name: string;
  readonly language: string;
  /** Where the family answers on its own phone. */
  readonly address: string;
  /** What the family is told to do, in its language. */
  readonly scan: string;
  readonly direction: 'ltr' | 'rtl';
}

/** The way for a walk-in to answer on its own phone: a code to be scanned from this screen. */
export const interviewPage = ({
  voice,
  event,
  name,
  language,
  address,
  scan,
  direction,
}: InterviewView): PageParts => ({
  title: voice.say('board.interviewTitle', { name }),
  main: html`<link rel="stylesheet" href="${assetPath('board.css')}">
    <section class="narrow interview"><h1>${voice.say('board.interviewTitle', { name })}</h1>
    <p class="scan" lang="${language}" dir="${direction}">${scan}</p>
    ${qrPart(address, voice.say('board.code'))}
    <p>${voice.say('board.interviewHow', { language: voice.measures.languageName(language) })}</p>
    <p><a href="${address}" target="_blank" rel="noopener">${typed(address)}</a></p>
    <p><a class="button" href="${paths.event(event.id)}">${voice.say('board.toBoard')}</a></p></section>`,
});
