import type { Finding } from '#shared/assessment.ts';
import type { CaseView } from './case-view.ts';
import { factWords } from './fact-words.ts';
import { type Html, html, typed } from './html.ts';
import { sourceLine } from './source-line.ts';

/** Whom a finding is about: the child, the seat, the position. */
function concerns({ voice, names }: CaseView, finding: Finding): Html | false {
  const parts = [
    finding.childId !== null && names.child(finding.childId),
    finding.seatId !== null && names.seat(finding.seatId),
    finding.positionId !== null && names.position(finding.positionId),
  ].filter((part) => part !== false);
  return (
    parts.length > 0 &&
    html`<p class="concerns"><span class="label">${voice.say('case.concerns')}</span> ${parts.map((part, i) => [i > 0 && ' · ', typed(part)])}</p>`
  );
}

/** The facts that raised a finding with their values, and its sources, on demand. */
function behind({ voice, summary }: CaseView, finding: Finding): Html {
  const facts = finding.facts.map((path) => factWords(path, summary.case, voice));
  return html`<details>
    <summary>${voice.say('case.sources')}</summary>
    <ul>
      ${facts.map(({ label, value }) => html`<li>${label}: ${typed(value ?? voice.say('case.unknown'))}</li>`)}
      ${finding.sources.map((id) => sourceLine(voice, id))}
    </ul>
  </details>`;
}

/** One finding with what to check and do. `level` is the level of its heading; at 3 the heading above says how urgent it is. */
export function findingPart(view: CaseView, finding: Finding, level: 3 | 4): Html {
  const { title, text } = view.voice.finding(finding.code);
  const tag = html`<span class="tag">${view.voice.say(`urgency.${finding.urgency}`)}</span>`;
  return html`<li class="finding ${finding.urgency}">
    ${level === 3 ? html`<h3>${title}</h3>` : html`<h4>${title} ${tag}</h4>`}
    ${concerns(view, finding)}
    <p>${text}</p>
    ${behind(view, finding)}
  </li>`;
}
