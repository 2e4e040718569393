import type { Finding } from '#shared/assessment.ts';
import { type Child, RESTRAINT_MODES } from '#shared/case.ts';
import { ageRange } from '#src/store/case-row.ts';
import type { CaseView, Judged } from './case-view.ts';
import { groupFacts } from './fact-groups.ts';
import { factWords } from './fact-words.ts';
import { findingPart } from './finding-part.ts';
import { forecastPart } from './forecast-part.ts';
import { type Html, html, typed } from './html.ts';
import { lawPart } from './law-part.ts';
import { known } from './measures.ts';

/** Age, weight and height on one line; what is not known is said to be so. */
export function sizeLine({ voice, summary }: CaseView, child: Child): Html {
  const { measures } = voice;
  const unknown = voice.say('case.unknown');
  const [age, weight, height] = [known(child.ageMonths), known(child.weightKg), known(child.heightCm)];
  const born = child.birthDate && voice.say('child.birthDate', { date: measures.date(child.birthDate) });
  const months = age ?? ageRange(child, summary.case.asOf);
  const said = [months && measures.age(months), born].filter(Boolean).join(', ');
  const fact = (key: 'fact.ageMonths' | 'fact.weightKg' | 'fact.heightCm', value: string) =>
    html`<div><dt>${voice.say(key)}</dt><dd>${value}</dd></div>`;
  return html`<dl class="facts size">
    ${fact('fact.ageMonths', said || unknown)}
    ${fact('fact.weightKg', weight ? measures.weight(weight) : unknown)}
    ${fact('fact.heightCm', height ? measures.length(height) : unknown)}
  </dl>`;
}

/** How the child rides now, and what is advised instead, with how sure that is. */
export function advicePart(view: CaseView, child: Child, { advice }: Judged): Html {
  const { voice, summary } = view;
  const use = summary.case.uses.find(({ childId }) => childId === child.id);
  const now = use?.mode ? voice.name('mode', use.mode) : voice.say('case.unknown');
  const modes = advice.candidates.map((mode) => voice.name('mode', mode));
  const needs = groupFacts(advice.needs).map(({ path }) => factWords(path, summary.case, voice).label);
  const open = advice.certainty === 'provisional';
  return html`<div class="ride">
    <p><span class="label">${voice.say('child.ridesNow')}</span> ${now}${use?.seatId != null && html`<span class="quietly below">${typed(view.names.seat(use.seatId))}</span>`}</p>
    <p class="advised"><span class="label">${voice.say('child.advised')}</span> <strong>${voice.name('mode', advice.mode)}</strong>
      <span class="tag ${advice.certainty}">${voice.say(`child.${advice.certainty}`)}</span>
      ${advice.seatChange && html`<span class="tag change">${voice.say('child.seatChange')}</span>`}</p>
    ${open && modes.length > 1 && html`<p>${voice.say('child.candidates', { modes: voice.measures.list(modes) })}</p>`}
    ${open && needs.length > 0 && html`<p>${voice.say('child.needs', { facts: voice.measures.list(needs) })}</p>`}
    ${advice.verify.includes('belt-fit') && html`<p>${voice.say('child.checkBeltFit')}</p>`}
  </div>`;
}

function fitPart({ voice }: CaseView, judged: Judged): Html {
  const { measures } = voice;
  const rows = RESTRAINT_MODES.map((mode) => {
    const fit = judged.modes[mode];
    const because = (fit.because ?? []).map((what) => voice.name('because', what));
    const room = [
      fit.headroom?.weightKg != null && measures.weight(fit.headroom.weightKg),
      fit.headroom?.heightCm != null && measures.length(fit.headroom.heightCm),
    ].filter((part) => part !== false);
    return html`<div><dt>${voice.name('mode', mode)}</dt><dd>${voice.name('status', fit.status)}${
      because.length > 0 && `, ${voice.say('child.because', { what: measures.list(because) })}`
    }${room.length > 0 && html`<span class="quietly below">${voice.say('child.headroom', { room: room.join(' · ') })}</span>`}</dd></div>`;
  });
  return html`<h4>${voice.say('child.fit')}</h4><dl class="facts">${rows}</dl>`;
}

function attachmentPart({ voice, summary }: CaseView, childId: string): Html | false {
  const use = summary.assessment.uses.find((one) => one.childId === childId);
  if (!use) return false;
  const limit =
    use.lowerAnchorLimitKg !== null &&
    voice.say('child.anchorLimit', { weight: voice.measures.weight(use.lowerAnchorLimitKg) });
  const row = (key: 'lowerAnchors' | 'seatBelt' | 'tether', value: string, more: string | false = false) =>
    html`<div><dt>${voice.say(`child.${key}`)}</dt><dd>${voice.name('verdict', value)}${more && `, ${more}`}</dd></div>`;
  return html`<h4>${voice.say('child.attachment')}</h4><dl class="facts">
    ${row('lowerAnchors', use.lowerAnchors, limit)}
    ${row('seatBelt', use.seatBelt)}
    ${row('tether', use.tether)}
  </dl>`;
}

/** The findings about a child: its own, and those of the seat it uses. */
export function findingsOf({ summary }: CaseView, childId: string): readonly Finding[] {
  const seatId = summary.case.uses.find((use) => use.childId === childId)?.seatId;
  return summary.assessment.findings.filter((finding) =>
    finding.childId === null ? seatId != null && finding.seatId === seatId : finding.childId === childId,
  );
}

/** Everything about one child: size, advice, reasons, fit, attachment, forecast, law. */
export function childPart(view: CaseView, child: Child): Html {
  const { voice, summary } = view;
  const judged = summary.assessment.children.find(({ childId }) => childId === child.id);
  const reasons = findingsOf(view, child.id).filter(({ urgency }) => urgency !== 'before-next-trip');
  return html`<section class="card child">
    <h3>${typed(view.names.child(child.id))}</h3>
    ${sizeLine(view, child)}
    ${judged && advicePart(view, child, judged)}
    <h4>${voice.say('child.reasons')}</h4>
    ${
      reasons.length > 0
        ? html`<ul class="findings">${reasons.map((finding) => findingPart(view, finding, 4))}</ul>`
        : html`<p>${voice.say('child.noReasons')}</p>`
    }
    ${judged && fitPart(view, judged)}
    ${attachmentPart(view, child.id)}
    ${judged && forecastPart(view, judged)}
    ${judged && lawPart(view, judged)}
  </section>`;
}
