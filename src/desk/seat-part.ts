import { type Limits, RESTRAINT_MODES, type Seat } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { valueWords } from './fact-words.ts';
import { type Html, html, type Part, typed } from './html.ts';
import type { Voice } from './voice.ts';

const PLAIN_FACTS = [
  'kind',
  'modelNumber',
  'massKg',
  'widthCm',
  'manufactureDate',
  'expiryDate',
  'usefulLifeYears',
  'acquired',
  'labelReadable',
  'partsComplete',
  'certified',
  'recall',
  'registered',
  'bothAllowed',
  'borrowedAllowed',
] as const satisfies readonly (keyof Seat)[];

/** Shown even when they are not known: a technician looks for them. */
const ALWAYS = new Set<string>(['kind', 'expiryDate', 'acquired', 'recall']);

const CRASH = [
  'happened',
  'drivable',
  'nearestDoorUndamaged',
  'noInjuries',
  'noAirBags',
  'noVisibleSeatDamage',
] as const;

const row = (label: string, value: Part): Html => html`<div><dt>${label}</dt><dd>${value}</dd></div>`;

/** "5 lb to 40 lb", "up to 40 lb", "no such limit on the label"; null where neither end is known. */
function span(voice: Voice, field: 'WeightKg' | 'HeightCm', limits: Limits): string | null {
  const words = (end: 'min' | 'max') => valueWords(field, limits[`${end}${field}`], voice);
  const [from, to] = [words('min'), words('max')];
  if (from && to) return voice.say('seat.fromTo', { from, to });
  if (to) return voice.say('seat.upTo', { value: to });
  const noMaximum = limits[`max${field}`] === null ? voice.say('case.noLimit') : null;
  return [from && voice.say('seat.from', { value: from }), noMaximum].filter(Boolean).join(', ') || null;
}

function limitRows(voice: Voice, seat: Seat): readonly Html[] {
  return RESTRAINT_MODES.flatMap((mode) => {
    const limits = seat.modes?.[mode];
    if (!limits) return [];
    const [weight, height] = [span(voice, 'WeightKg', limits), span(voice, 'HeightCm', limits)];
    const age = valueWords('minAgeMonths', limits.minAgeMonths, voice);
    const parts = [
      weight && voice.say('seat.weight', { range: weight }),
      height && voice.say('seat.height', { range: height }),
      age && voice.say('seat.age', { age }),
    ].filter(Boolean);
    const text = parts.join('; ') || voice.say('case.unknown');
    return [row(voice.say('seat.limits', { mode: voice.name('mode', mode) }), text)];
  });
}

function anchorRows(voice: Voice, seat: Seat): readonly Html[] {
  return (['rear-facing', 'forward-facing'] as const).flatMap((mode) => {
    const limit = valueWords('limitKg', seat.lowerAnchorLimitKg?.[mode], voice);
    return limit ? [row(`${voice.say('fact.lowerAnchorLimitKg')}, ${voice.name('mode', mode)}`, limit)] : [];
  });
}

function crashRows(voice: Voice, seat: Seat): readonly Html[] {
  const { crash } = seat;
  if (!crash) return [];
  const asked = crash.happened === true ? CRASH : (['happened'] as const);
  return asked.map((field) =>
    row(voice.say(`fact.${field}`), valueWords(field, crash[field], voice) ?? voice.say('case.unknown')),
  );
}

/** What was said about one seat and read from its label. */
export function seatPart({ voice, names }: CaseView, seat: Seat): Html {
  const facts = PLAIN_FACTS.flatMap((field) => {
    const value = valueWords(field, seat[field], voice);
    return value || ALWAYS.has(field)
      ? [row(voice.say(`fact.${field}`), value ? typed(value) : voice.say('case.unknown'))]
      : [];
  });
  return html`<section class="card">
    <h3>${typed(names.seat(seat.id))}</h3>
    <dl class="facts">${facts}${limitRows(voice, seat)}${anchorRows(voice, seat)}${crashRows(voice, seat)}</dl>
  </section>`;
}
