import { isFindingCode } from '#shared/finding-codes.ts';
import type { CaseView } from './case-view.ts';
import { type FactGroup, groupFacts } from './fact-groups.ts';
import { factWords } from './fact-words.ts';
import { type Html, html, typed } from './html.ts';
import { verifyOrder } from './verify-order.ts';

const SHOWN = 6;
/** Of what a fact could mean so many are named. */
const NAMED = 3;

/** The facts to verify, each with what it could turn out to mean. */
export function verifyItems({ voice, summary }: CaseView, groups: readonly FactGroup[]): readonly Html[] {
  return groups.map(({ path, members }) => {
    const { owner, label, value } = factWords(path, summary.case, voice);
    const unknowns = summary.assessment.unknowns.filter(({ fact }) => members.includes(fact));
    const codes = new Set(unknowns.flatMap(({ couldRaise }) => couldRaise));
    const titles = [...codes].filter(isFindingCode).map((code) => voice.finding(code).title);
    const findings = titles.length > NAMED ? [...titles.slice(0, NAMED), '…'] : titles;
    return html`<li>
      <span class="fact">${owner && html`${typed(owner)}: `}${label}${value && html` (${typed(value)})`}</span>
      ${titles.length > 0 && html`<span class="quietly below">${voice.say('case.couldBe', { findings: findings.join('; ') })}</span>`}
    </li>`;
  });
}

/** What to verify first; the rest of a long list on demand. */
export function verifyPart(view: CaseView): Html {
  const { voice, summary } = view;
  const items = verifyItems(view, groupFacts(verifyOrder(summary)));
  const rest = items.slice(SHOWN);
  return html`<section class="verify" aria-labelledby="verify">
    <h2 id="verify">${voice.say('case.verify')}</h2>
    ${items.length === 0 && html`<p>${voice.say('case.noVerify')}</p>`}
    ${items.length > 0 && html`<ul class="checks">${items.slice(0, SHOWN)}</ul>`}
    ${
      rest.length > 0 &&
      html`<details><summary>${voice.say('case.more', { count: rest.length })}</summary><ul class="checks">${rest}</ul></details>`
    }
  </section>`;
}
