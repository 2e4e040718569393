import { isFindingCode } from '#shared/finding-codes.ts';
import type { CaseView } from './case-view.ts';
import { factWords } from './fact-words.ts';
import { type Html, html, typed } from './html.ts';
import { verifyOrder } from './verify-order.ts';

const SHOWN = 6;

/** The facts to verify, each with what it could turn out to mean. `paths` chooses and orders them. */
export function verifyItems({ voice, summary }: CaseView, paths: readonly string[]): readonly Html[] {
  return paths.map((path) => {
    const { owner, label, value } = factWords(path, summary.case, voice);
    const codes = summary.assessment.unknowns.find(({ fact }) => fact === path)?.couldRaise ?? [];
    const titles = codes.filter(isFindingCode).map((code) => voice.finding(code).title);
    return html`<li>
      <span class="fact">${owner && html`${typed(owner)}: `}${label}${value && html` (${typed(value)})`}</span>
      ${titles.length > 0 && html`<span class="quietly below">${voice.say('case.couldBe', { findings: titles.join('; ') })}</span>`}
    </li>`;
  });
}

/** What to verify first; the rest of a long list on demand. */
export function verifyPart(view: CaseView): Html {
  const { voice, summary } = view;
  const items = verifyItems(view, verifyOrder(summary));
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
