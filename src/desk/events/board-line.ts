import type { Arrival, ArrivalState } from '#src/store/arrival-lines.ts';
import type { Unbooked } from '#src/store/board.ts';
import type { CheckEvent } from '#src/store/events.ts';
import { mayWork } from '../access.ts';
import { type Html, html, typed } from '../html.ts';
import { childLine } from '../list-page.ts';
import { tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import type { Voice } from '../voice.ts';

/** What the lines of a board need to know beside themselves. */
export interface BoardAround {
  readonly voice: Voice;
  readonly viewer: Viewer;
  readonly event: CheckEvent;
  /** Names of accounts by their ids. */
  readonly names: ReadonlyMap<string, string>;
  /** Lines whose times lie outside the hours, or are one too many at once. */
  readonly misfits: ReadonlySet<string>;
}

/** What can be done with a line; each is the word that its button sends. */
export type Deed = 'arrived' | 'no-show' | 'done' | 'take' | 'release' | 'come';

/** Which deeds a line offers, the likeliest first, each with its words. */
function deedsOf(
  { state, technicianId }: Arrival,
  me: string,
): readonly (readonly [Deed, 'arrived' | 'noShow' | 'late' | 'back' | 'done' | 'take' | 'release' | 'takeOver'])[] {
  const mine = technicianId === me;
  const seeing = technicianId === null ? (['take', 'take'] as const) : (['take', 'takeOver'] as const);
  const byState: Readonly<Record<ArrivalState, ReturnType<typeof deedsOf>>> = {
    booked: [['arrived', 'arrived'], ['no-show', 'noShow'], mine ? ['release', 'release'] : seeing],
    arrived: mine
      ? [
          ['done', 'done'],
          ['release', 'release'],
        ]
      : [seeing, ['done', 'done']],
    done: [['arrived', 'back']],
    'no-show': [['arrived', 'late']],
  };
  return byState[state];
}

/** The names of the children, or what there is to call a family by. */
function kids(
  { voice }: BoardAround,
  { family, walkIn, talking }: Pick<Arrival, 'family' | 'walkIn' | 'talking'>,
): Html {
  const children = family?.children ?? [];
  return html`<ul class="kids">
    ${walkIn && html`<li><b>${typed(walkIn.name)}</b> <span class="quietly">${!family && voice.say(talking ? 'board.talking' : 'board.notBegun')}</span></li>`}
    ${family?.children === null && html`<li>${voice.say('list.unreadable')}</li>`}
    ${family && children.length === 0 && html`<li>${voice.say('list.noChild')}</li>`}
    ${!family && !walkIn && html`<li>${voice.say('event.unsent')}</li>`}
    ${children.map((child, i) => childLine(voice, child, i + 1))}
  </ul>`;
}

/** The way to the case of each car. */
const headings = ({ reference, otherCars }: Pick<Unbooked, 'reference' | 'otherCars'>): Html =>
  html`<h3>${[reference, ...otherCars].map((each) => html`<a href="${paths.case(each)}">${each}</a> `)}</h3>`;

const marks = ({ voice }: BoardAround, family: Arrival['family'], more: readonly (Html | false)[]): Html =>
  html`<ul class="counts">
    ${family && family.urgentCount > 0 && html`<li class="mark urgent">${voice.say('list.urgent', { count: family.urgentCount })}</li>`}
    ${family && family.urgentCount === 0 && family.priority !== 'routine' && html`<li class="mark open">${voice.say(`priority.${family.priority}`)}</li>`}
    ${family?.person && html`<li class="mark person">${voice.say('list.person')}</li>`}
    ${family && !family.complete && html`<li class="mark open">${voice.say('list.unfinished')}</li>`}
    ${more.map((one) => one)}
  </ul>`;

/** The language, marked where the team does not speak it. */
function languagePart({ voice, event }: BoardAround, language: string, interpreter: boolean): Html {
  const spoken = event.languages.length === 0 || event.languages.includes(language);
  return html`<span>${voice.measures.languageName(language)}</span>${
    (interpreter || !spoken) && html` <span class="mark person">${voice.say('board.interpreter')}</span>`
  }`;
}

function whenPart({ voice, event }: BoardAround, { start, state, arrivedAt }: Arrival): Html {
  const clock = (instant: string) => voice.measures.time(instant, event.timeZone);
  return html`<p class="at"><b>${start === null ? voice.say('board.noTime') : clock(start)}</b>${
    state === 'arrived' &&
    arrivedAt !== null &&
    html` <span class="quietly">${voice.say('board.since', { time: clock(arrivedAt) })}</span>`
  }${state === 'done' && html` <span class="quietly">${voice.say('board.isDone')}</span>`}${
    state === 'no-show' && html` <span class="quietly">${voice.say('board.didNotCome')}</span>`
  }</p>`;
}

/** One family of the board: when, who, in what language, how long, with whom, and what can be done. */
export function boardLine(around: BoardAround, one: Arrival): Html {
  const { voice, viewer, event, names, misfits } = around;
  const { family, walkIn } = one;
  const called = family?.reference ?? walkIn?.name ?? voice.say('event.unsent');
  const technician = one.technicianId !== null && (names.get(one.technicianId) ?? voice.say('usage.gone'));
  const button = (deed: Deed, words: string, first: boolean) =>
    html`<button type="submit" id="${deed}-${one.id}" name="does" value="${deed}" aria-label="${words}: ${called}"${!first && html` class="quiet"`}>${words}</button>`;
  const works = viewer.person !== null && mayWork(viewer.person);
  return html`<li class="case board-line ${family?.priority ?? 'routine'}" id="a-${one.id}" data-reference="${one.id}" data-names="${called}">
    ${whenPart(around, one)}
    <div class="who-comes">
      ${family && headings(family)}
      ${kids(around, one)}
    </div>
    <p class="when">${languagePart(around, one.language, one.interpreter)}<span>${voice.say('list.minutes', { count: one.neededMinutes })}</span>
      ${technician !== false && html`<span class="with">${voice.say('board.with', { name: technician })}</span>`}</p>
    ${marks(around, family, [misfits.has(one.id) && html`<li class="mark open">${voice.say('board.misfit')}</li>`])}
    ${
      works &&
      html`<form method="post" action="${paths.arrival(event.id, one.id)}" class="deeds">${tokenField(viewer)}
      <input type="hidden" name="from" value="${one.state}"><input type="hidden" name="holder" value="${one.technicianId ?? ''}">
      ${deedsOf(one, viewer.person.accountId).map(([deed, words], i) => button(deed, voice.say(`board.${words}`), i === 0))}
      ${walkIn && !family && html`<a class="tap" href="${paths.arrival(event.id, one.id)}">${voice.say('board.interview')}</a>`}
    </form>`
    }
  </li>`;
}

/** A family that chose no time. */
export function unbookedLine(around: BoardAround, one: Unbooked): Html {
  const { voice, viewer, event } = around;
  const words = voice.say('board.arrived');
  return html`<li class="case board-line ${one.priority}" data-reference="${one.reference}" data-names="${one.reference}">
    <p class="at"><b>${voice.say('board.noTime')}</b></p>
    <div class="who-comes">${headings(one)}
      ${kids(around, { family: one, walkIn: null, talking: true })}</div>
    <p class="when">${languagePart(around, one.language, false)}<span>${voice.say('list.minutes', { count: one.minutes })}</span></p>
    ${marks(around, one, [])}
    ${
      viewer.person !== null &&
      mayWork(viewer.person) &&
      html`<form method="post" action="${paths.come(event.id)}" class="deeds">${tokenField(viewer)}
      <input type="hidden" name="reference" value="${one.reference}">
      <button type="submit" id="come-${one.reference}" aria-label="${words}: ${one.reference}">${words}</button></form>`
    }
  </li>`;
}
