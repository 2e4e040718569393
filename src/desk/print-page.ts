import type { Child } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { advicePart, findingsOf, sizeLine } from './child-part.ts';
import { type Html, html, typed } from './html.ts';
import { cautions, type PageParts } from './page.ts';
import { paths } from './paths.ts';
import { verifyOrder } from './verify-order.ts';
import { verifyItems } from './verify-part.ts';

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
  const items = verifyItems(view, factsOf(view, child));
  const findings = findingsOf(view, child.id).map((finding) => {
    const { title, text } = voice.finding(finding.code);
    return html`<li class="${finding.urgency}"><b>${voice.say(`urgency.${finding.urgency}`)}: ${title}</b> ${text}</li>`;
  });
  return html`<article class="sheet">
    <header>
      <p>${summary.reference} · ${voice.say(`priority.${summary.assessment.visit.priority}`)} · ${voice.measures.languageName(summary.language)}${
        event && html` · ${typed(event.name)}`
      } · ${voice.say('print.sheet', { number, count })}</p>
      <h2>${typed(names.child(child.id))}</h2>
    </header>
    ${sizeLine(view, child)}
    ${judged && advicePart(view, child, judged)}
    ${findings.length > 0 && html`<h3>${voice.say('case.checkAndDo')}</h3><ul class="boxes">${findings}</ul>`}
    ${items.length > 0 && html`<h3>${voice.say('case.verify')}</h3><ul class="boxes two">${items}</ul>`}
    <h3>${voice.say('print.measured')}</h3>
    <div class="fills">${(['weight', 'height', 'technician', 'date'] as const).map((key) => toFill(voice.say(`print.${key}`)))}</div>
    ${cautions(voice)}
  </article>`;
}

/** One sheet of paper for each child, in black and white; a script opens the browser's print. */
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
