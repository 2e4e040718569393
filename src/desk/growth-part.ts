import type { Child, RestraintMode } from '#shared/case.ts';
import { addMonths } from '#shared/dates.ts';
import type { GrowthMeasure } from '#shared/growth/reference.ts';
import { cmToIn, kgToLb } from '#shared/units.ts';
import { ageRange } from '#src/store/case-row.ts';
import type { CaseView, Judged } from './case-view.ts';
import { growthPath, type PathPoint } from './growth-path.ts';
import { type Html, html } from './html.ts';
import { known, unitsFor } from './measures.ts';

const MONTHS = 24;
const BOX = { width: 340, height: 216, left: 34, right: 10, top: 26, bottom: 26 };
const LABEL_HEIGHT = 16;

interface Limit {
  readonly mode: RestraintMode;
  readonly value: number;
}

/** The limits that the forecast of this child is about, lowest first. */
function limitsOf({ summary }: CaseView, childId: string, judged: Judged, measure: GrowthMeasure): readonly Limit[] {
  const seatId = summary.case.uses.find((use) => use.childId === childId)?.seatId;
  const modes = summary.case.seats.find(({ id }) => id === seatId)?.modes;
  return judged.forecast
    .filter(({ limit }) => limit === measure)
    .flatMap(({ mode }) => {
      const limit = known(modes?.[mode]?.[measure === 'weight' ? 'maxWeightKg' : 'maxHeightCm']);
      return limit ? [{ mode, value: limit.min }] : [];
    })
    .toSorted((a, b) => a.value - b.value);
}

/** A round step that parts a span into two to five. */
function stepFor(span: number): number {
  const power = 10 ** Math.floor(Math.log10(span / 2));
  return ([5, 2, 1].find((times) => times * power <= span / 2) ?? 1) * power;
}

const round = (value: number): number => Math.round(value * 10) / 10;

/** From today's size on the likely path with the range for 8 of 10 children, against the limits of the seat. */
function chart(
  view: CaseView,
  name: string,
  measure: GrowthMeasure,
  path: readonly PathPoint[],
  limits: readonly Limit[],
) {
  const { voice, summary } = view;
  const us = unitsFor(summary.case.jurisdiction) === 'us';
  const isWeight = measure === 'weight';
  const shownIn = (value: number) => (us ? (isWeight ? kgToLb(value) : cmToIn(value)) : value);
  const words = (value: number | { min: number; max: number }) =>
    isWeight ? voice.measures.weight(value) : voice.measures.length(value);
  const [first, last] = [path[0] as PathPoint, path.at(-1) as PathPoint];
  const finite = path.flatMap(({ low, high }) => [low, high]).filter(Number.isFinite);
  const ends = [...finite, ...limits.map(({ value }) => value)].map(shownIn);
  const step = stepFor(Math.max(...ends) - Math.min(...ends) || 1);
  const bottom = Math.floor(Math.min(...ends) / step) * step;
  const top = Math.ceil((Math.max(...ends) + step / 4) / step) * step;
  const x = (ahead: number) => round(BOX.left + (ahead / MONTHS) * (BOX.width - BOX.left - BOX.right));
  const height = BOX.height - BOX.top - BOX.bottom;
  const y = (value: number) =>
    round(BOX.top + (1 - (Math.min(shownIn(value), top) - bottom) / (top - bottom)) * height);
  const yOf = (tick: number) => round(BOX.top + (1 - (tick - bottom) / (top - bottom)) * height);
  const points = (key: 'low' | 'likely' | 'high', list = path) =>
    list.map((p) => `${x(p.ahead)},${y(p[key])}`).join(' ');
  const ticks = Array.from({ length: Math.round((top - bottom) / step) + 1 }, (_, i) => bottom + i * step);
  const right = BOX.width - BOX.right;
  const month = (ahead: number) => voice.measures.date(addMonths(summary.case.asOf, ahead).slice(0, 7));
  const what = voice.say(isWeight ? 'fact.weightKg' : 'fact.heightCm');
  const unit = us ? (isWeight ? 'lb' : 'in') : isWeight ? 'kg' : 'cm';
  const limitWords = limits.map(({ mode, value }) => `${voice.name('mapMode', mode)}: ${words(value)}`);
  const range = { min: last.low, max: Number.isFinite(last.high) ? last.high : last.likely };
  const desc = voice.say('growth.desc', {
    today: words(first.likely),
    month: month(last.ahead),
    likely: words(last.likely),
    range: words(range),
    limits: limitWords.join('; '),
  });
  return html`<svg class="growth" role="img" viewBox="0 0 ${BOX.width} ${BOX.height}" aria-labelledby="${name}-title ${name}-desc">
    <title id="${name}-title">${voice.say('growth.title', { what })}</title>
    <desc id="${name}-desc">${desc}</desc>
    ${ticks.map((tick) => html`<line class="grid" x1="${BOX.left}" x2="${right}" y1="${yOf(tick)}" y2="${yOf(tick)}"></line><text class="tick" x="${BOX.left - 5}" y="${yOf(tick) + 4}" text-anchor="end">${voice.measures.number(tick)}</text>`)}
    <text class="tick" x="2" y="10">${what} (${unit})</text>
    ${[0, 12, 24].map((ahead, i) => html`<text class="tick" x="${x(ahead)}" y="${BOX.height - 8}" text-anchor="${['start', 'middle', 'end'][i] ?? ''}">${month(ahead)}</text>`)}
    <polygon class="band" points="${points('high')} ${points('low', path.toReversed())}"></polygon>
    <polyline class="likely" points="${points('likely')}"></polyline>
    ${limits.map(({ value }, i) => {
      // Under its line where the next limit leaves no room above it.
      const next = limits[i + 1];
      const under = next !== undefined && y(value) - y(next.value) < LABEL_HEIGHT;
      return html`<line class="limit limit-${i}" x1="${BOX.left}" x2="${right}" y1="${y(value)}" y2="${y(value)}"></line>
    <text class="limit-name" x="${right}" y="${round(y(value) + (under ? LABEL_HEIGHT - 3 : -4))}" text-anchor="end">${limitWords[i] ?? ''}</text>`;
    })}
    <circle class="today" cx="${x(0)}" cy="${y(first.likely)}" r="4"></circle>
  </svg>`;
}

/** The growth charts of one child, for each measure that is known and that its seat has a limit for; else nothing. */
export function growthPart(view: CaseView, child: Child, judged: Judged): Html | false {
  const { summary, voice } = view;
  const age = known(child.ageMonths) ?? ageRange(child, summary.case.asOf);
  const number = summary.case.children.indexOf(child) + 1;
  const charts = (['weight', 'height'] as const).flatMap((measure) => {
    const value = known(measure === 'weight' ? child.weightKg : child.heightCm);
    const limits = limitsOf(view, child.id, judged, measure);
    if (!value || !age || limits.length === 0) return [];
    const path = growthPath({ measure, value, age, sex: child.sex ?? null }, MONTHS);
    return path.length > 1 ? [chart(view, `growth-${number}-${measure}`, measure, path, limits)] : [];
  });
  if (charts.length === 0) return false;
  return html`<figure class="growths"><div>${charts}</div><figcaption class="quietly">${voice.say('growth.how')}</figcaption></figure>`;
}
