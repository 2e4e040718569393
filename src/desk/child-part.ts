import type { Finding } from '#shared/assessment.ts';
import { type Child, RESTRAINT_MODES, type RestraintMode } from '#shared/case.ts';
import type { FindingCode } from '#shared/finding-codes.ts';
import { ageRange } from '#src/store/case-row.ts';
import type { CaseView, Judged } from './case-view.ts';
import { groupFacts } from './fact-groups.ts';
import { factWords } from './fact-words.ts';
import { findingPart } from './finding-part.ts';
import { forecastPart } from './forecast-part.ts';
import { growthPart } from './growth-part.ts';
import { type Html, html, typed } from './html.ts';
import { lawPart } from './law-part.ts';
import { known } from './measures.ts';

/** Findings that say why another way of riding is advised. */
const REASONS: ReadonlySet<string> = new Set<FindingCode>([
  'forward-facing-too-soon',
  'booster-too-soon',
  'belt-too-soon',
  'over-limit',
  'under-minimum',
  'mode-not-offered',
  'could-stay-rear-facing',
  'could-stay-harnessed',
  'outgrowing-soon',
]);

/** What a mode is ruled out by, as far as is known. */
const RULED_OUT: ReadonlySet<string> = new Set(['too-small', 'outgrown', 'not-offered']);

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

type Fit = Judged['modes'][RestraintMode];

/** "outgrown, because of weight". */
function fitWords({ voice }: CaseView, { status, because = [] }: Fit): string {
  const what = because.map((one) => voice.name('because', one));
  const reason = what.length > 0 ? `, ${voice.say('child.because', { what: voice.measures.list(what) })}` : '';
  return `${voice.name('status', status)}${reason}`;
}

/** How much the child may still grow in weight and height; null where neither is known. */
function roomWords({ voice: { measures } }: CaseView, { headroom }: Fit): string | null {
  const room = [
    headroom?.weightKg != null && measures.weight(headroom.weightKg),
    headroom?.heightCm != null && measures.length(headroom.heightCm),
  ].filter((part) => part !== false);
  return room.length > 0 ? room.join(' · ') : null;
}

/** How the child rides now, and what is advised instead, with how sure that is, why, and the room left. */
export function advicePart(view: CaseView, child: Child, { advice, modes: fits }: Judged, withWhy = true): Html {
  const { voice, summary } = view;
  const use = summary.case.uses.find(({ childId }) => childId === child.id);
  const now = use?.mode ? voice.name('mode', use.mode) : voice.say('case.unknown');
  const modes = advice.candidates.map((mode) => voice.name('mode', mode));
  const needs = groupFacts(advice.needs).map(({ path }) => factWords(path, summary.case, voice).label);
  const ruledOut = (mode: RestraintMode) =>
    RULED_OUT.has(fits[mode].status) && (use?.seatId != null || fits[mode].status !== 'not-offered');
  const others = RESTRAINT_MODES.filter((mode) => mode !== advice.mode && ruledOut(mode)).map((mode) =>
    voice.say('child.otherMode', { mode: voice.name('mode', mode), status: fitWords(view, fits[mode]) }),
  );
  const reasons = findingsOf(view, child.id)
    .filter(({ code }) => REASONS.has(code))
    .map(({ code }) => voice.finding(code).title);
  const why = [...new Set(reasons), ...others];
  const room = advice.mode === 'seat-belt' ? null : roomWords(view, fits[advice.mode]);
  const open = advice.certainty === 'provisional';
  return html`<div class="ride">
    <p><span class="label">${voice.say('child.ridesNow')}</span> ${now}${use?.seatId != null && html`<span class="quietly below">${typed(view.names.seat(use.seatId))}</span>`}</p>
    <p class="advised"><span class="label">${voice.say('child.advised')}</span> <strong>${voice.name('mode', advice.mode)}</strong>
      <span class="tag ${advice.certainty}">${voice.say(`child.${advice.certainty}`)}</span>
      ${advice.seatChange && html`<span class="tag change">${voice.say('child.seatChange')}</span>`}</p>
    ${withWhy && why.length > 0 && html`<p><span class="label">${voice.say('child.why')}</span> ${why.join('; ')}</p>`}
    ${room && html`<p><span class="label">${voice.say('child.roomLeft')}</span> ${room}</p>`}
    ${open && modes.length > 1 && html`<p>${voice.say('child.candidates', { modes: voice.measures.list(modes) })}</p>`}
    ${open && needs.length > 0 && html`<p>${voice.say('child.needs', { facts: voice.measures.list(needs) })}</p>`}
    ${advice.verify.includes('belt-fit') && html`<p>${voice.say('child.checkBeltFit')}</p>`}
  </div>`;
}

function fitPart(view: CaseView, judged: Judged): Html {
  const { voice } = view;
  const rows = RESTRAINT_MODES.map((mode) => {
    const room = roomWords(view, judged.modes[mode]);
    return html`<div><dt>${voice.name('mode', mode)}</dt><dd>${fitWords(view, judged.modes[mode])}${
      room && html`<span class="quietly below">${voice.say('child.headroom', { room })}</span>`
    }</dd></div>`;
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

/** What a technician reads first of one child: size, how it rides, what is advised and why. */
export function childGlance(view: CaseView, child: Child, judged: Judged | undefined): Html {
  return html`<section class="card child">
    <h3>${typed(view.names.child(child.id))}</h3>
    ${sizeLine(view, child)}
    ${judged && advicePart(view, child, judged)}
  </section>`;
}

/** The rest about one child: what to correct and plan, fit, attachment, forecast, law. */
export function childDetails(view: CaseView, child: Child, judged: Judged | undefined): Html {
  const { voice } = view;
  const reasons = findingsOf(view, child.id).filter(({ urgency }) => urgency !== 'before-next-trip');
  return html`<section class="card child">
    <h3>${typed(view.names.child(child.id))}</h3>
    ${
      reasons.length > 0
        ? html`<ul class="findings">${reasons.map((finding) => findingPart(view, finding, 4))}</ul>`
        : html`<p>${voice.say('child.noReasons')}</p>`
    }
    ${judged && fitPart(view, judged)}
    ${attachmentPart(view, child.id)}
    ${judged && forecastPart(view, judged)}
    ${judged && growthPart(view, child, judged)}
    ${judged && lawPart(view, judged)}
  </section>`;
}
