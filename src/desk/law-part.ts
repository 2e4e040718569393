import type { LawClauseResult } from '#shared/assessment.ts';
import type { CaseView, Judged } from './case-view.ts';
import { type Html, html } from './html.ts';
import type { Voice } from './voice.ts';

function clauseLine(voice: Voice, clause: LawClauseResult): Html {
  const duty = voice.say('child.lawClause', {
    requires: voice.name('requires', clause.requires),
    state: voice.name('clauseState', clause.state),
  });
  const met = clause.satisfied === null ? null : voice.say(clause.satisfied ? 'child.lawMet' : 'child.lawNotMet');
  const unless = clause.unless.map((fact) => voice.name('lawFact', fact));
  const seen = voice.say('child.lawAsOf', {
    date: voice.measures.date(clause.asOf),
    seen: voice.name('seenAs', clause.seenAs),
    confidence: voice.name('confidence', clause.confidence),
  });
  return html`<li>${duty}${met && html` <strong>${met}</strong>`}
    ${unless.length > 0 && html`<span class="quietly below">${voice.say('child.lawUnless', { facts: voice.measures.list(unless) })}</span>`}
    <span class="quietly below">${clause.statute}${clause.cite && clause.cite !== clause.statute && `, ${clause.cite}`}; ${seen}</span></li>`;
}

/** What the law of the place says as far as it is held, with its statute and date, and who decides. */
export function lawPart({ voice, summary }: CaseView, { law }: Judged): Html {
  const place = summary.case.jurisdiction;
  return html`<h4>${voice.say('child.law')}${place && ` (${place})`}</h4>
    <p>${law.clauses.length === 0 && law.status === 'unknown' ? voice.say('child.lawNone') : voice.say(`law.${law.status}`)}</p>
    ${
      law.clauses.length > 0 &&
      html`<details><summary>${voice.say('case.sources')}</summary><ul>${law.clauses.map((clause) => clauseLine(voice, clause))}</ul></details>`
    }
    <p class="quietly">${voice.say('child.lawReminder')}</p>`;
}
