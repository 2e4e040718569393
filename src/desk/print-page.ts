import type { Finding } from '#shared/assessment.ts';
import type { Child } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { advicePart, findingsOf, sizeLine } from './child-part.ts';
import { groupFacts } from './fact-groups.ts';
import { growthPart } from './growth-part.ts';
import { type Html, html, typed } from './html.ts';
import { cautions, type PageParts } from './page.ts';
import { paths } from './paths.ts';
import { verifyOrder } from './verify-order.ts';
import { verifyItems } from './verify-part.ts';

/** What one sheet has room for; the desk has the rest. */
const ENTRIES = 16;
const FEWEST_FACTS = 4;
const EXPLAINED = 9;
const ROOM_FOR_CHARTS = 10;

/** The facts to verify that touch a child: its own, its seat's, its position's, and those of the family. */
function factsOf({ summary }: CaseView, child: Child): readonly string[] {
  const use = summary.case.uses.find(({ childId }) => childId === child.id);
  const mine = [
    `children.${child.id}.`,
    `uses.${child.id}.`,
    ...(use?.seatId != null ? [`seats.${use.seatId}.`] : []),
    ...(use?.positionId != null ? [`vehicle.positions.${use.positionId}.`] : []),
  ];
  return verifyOrder(summary).filter(
    (path) => mine.some((start) => path.startsWith(start)) || !/^(children|uses|seats|vehicle\.positions)\./.test(path),
  );
}

const toFill = (label: string): Html => html`<div class="fill"><span>${label}</span><span class="rule"></span></div>`;

function sheet(view: CaseView, child: Child, number: number, count: number): Html {
  const { voice, summary, names, event } = view;
  const judged = summary.assessment.children.find(({ childId }) => childId === child.id);
  const findings = findingsOf(view, child.id);
  const explained = findings.length <= EXPLAINED ? EXPLAINED : Math.max(3, 2 * EXPLAINED - findings.length);
  const line = (finding: Finding, inFull: boolean) => {
    const { title, text } = voice.finding(finding.code);
    return html`<li><b>${voice.say(`urgency.${finding.urgency}`)}: ${title}</b>${inFull && ` ${text}`}</li>`;
  };
  const facts = groupFacts(factsOf(view, child));
  const items = verifyItems(view, facts.slice(0, Math.max(FEWEST_FACTS, ENTRIES - findings.length)));
  const rest = facts.length - items.length;
  return html`<article class="sheet">
    <header>
      <p>${summary.reference} · ${voice.say(`priority.${summary.assessment.visit.priority}`)} · ${voice.measures.languageName(summary.language)}${
        event && html` · ${typed(event.name)}`
      } · ${voice.say('print.sheet', { number, count })}</p>
      <h2>${typed(names.child(child.id))}</h2>
    </header>
    ${sizeLine(view, child)}
    ${judged && advicePart(view, child, judged, findings.length <= EXPLAINED)}
    ${judged && findings.length + items.length <= ROOM_FOR_CHARTS && growthPart(view, child, judged)}
    ${findings.length > 0 && html`<h3>${voice.say('case.checkAndDo')}</h3><ul class="boxes">${findings.slice(0, explained).map((one) => line(one, true))}</ul>`}
    ${findings.length > explained && html`<ul class="boxes two">${findings.slice(explained).map((one) => line(one, false))}</ul>`}
    ${items.length > 0 && html`<h3>${voice.say('case.verify')}</h3><ul class="boxes two">${items}</ul>`}
    ${rest > 0 && html`<p>${voice.say('print.more', { count: rest })}</p>`}
    <h3>${voice.say('print.measured')}</h3>
    <div class="fills">${(['weight', 'height', 'technician', 'date'] as const).map((key) => toFill(voice.say(`print.${key}`)))}</div>
    ${cautions(voice)}
  </article>`;
}

/** One sheet of paper for each child, in black and white; the script, where there is one, opens the browser's print. */
export function printPage(view: CaseView): PageParts {
  const { voice, summary } = view;
  const { children } = summary.case;
  return {
    title: voice.say('case.title', { reference: summary.reference }),
    layout: 'print',
    main: html`<div class="screen-only">
      <h1>${voice.say('case.title', { reference: summary.reference })}</h1>
      <p>${voice.say('print.hint')}</p>
      <p><button type="button" id="print" hidden>${voice.say('page.print')}</button>
      <a href="${paths.case(summary.reference)}">${voice.say('page.backToCase')}</a></p>
    </div>
    ${children.length === 0 && html`<p>${voice.say('case.noChildren')}</p>`}
    ${children.map((child, i) => sheet(view, child, i + 1, children.length))}`,
  };
}
