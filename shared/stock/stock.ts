import type { Case, RestraintMode } from '#shared/case.ts';
import { RESTRAINT_MODES } from '#shared/case.ts';
import { addMonths, completedMonths } from '#shared/dates.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { caseOnDay } from '#shared/visit-record/recorded-case.ts';
import { enoughWithin } from './counts.ts';
import type { Manual } from './manuals.ts';
import { manualsFor } from './manuals.ts';
import type { Bounds } from './odds.ts';
import { isPossible, NEVER, PERHAPS, SURELY, sumOf } from './odds.ts';
import type { Part, PartNeed } from './parts.ts';
import { PARTS, partNeeds } from './parts.ts';
import type { SeatNeed, SeatReason } from './seat-needs.ts';
import { isUnborn, seatNeeds, seatReasonSources } from './seat-needs.ts';

/** "Soon" is what the forecast of the rules calls soon. */
export const SOON_MONTHS = parameter('near-forecast');

export type StockFamily = Pick<PreVisitSummary, 'reference' | 'language' | 'case' | 'assessment'>;

/** What one family may need; forecasts of an event add these up. */
export interface FamilyNeeds {
  readonly children: number;
  readonly seats: readonly SeatNeed[];
  /** Seats needed within SOON_MONTHS after the day, beyond those needed on it. */
  readonly soon: readonly SeatNeed[];
  readonly parts: readonly PartNeed[];
  readonly manuals: readonly Manual[];
  readonly interpreter: { readonly language: string; readonly asked: boolean | null; readonly minutes: number };
  /** Seats whose recalls nobody has looked up; they are not counted as seats. */
  readonly recallsToLookUp: number;
}

/** What is added between two days: how far each end of a need moves, and never more than all needs together move. */
function moreBy(now: readonly SeatNeed[], then: readonly SeatNeed[]): readonly SeatNeed[] {
  const of = (needs: readonly SeatNeed[], mode: RestraintMode) =>
    needs.find((need) => need.mode === mode)?.odds ?? NEVER;
  const added = (before: Bounds, after: Bounds, most: Bounds): Bounds => {
    const low = Math.max(0, Math.min(after.low - before.low, most.low));
    const high = Math.max(0, Math.min(after.high - before.high, most.high));
    return { low: Math.min(low, high), high: Math.max(low, high) };
  };
  const all = added(sumOf(now.map(({ odds }) => odds)), sumOf(then.map(({ odds }) => odds)), SURELY);
  return then.flatMap(({ mode, odds }) => {
    const more = added(of(now, mode), odds, all);
    return isPossible(more) ? [{ mode, odds: more, reasons: [{ reason: 'outgrown-soon' as const, odds: more }] }] : [];
  });
}

/** Which language a family wrote in, whether it said that it needs an interpreter, and for how long it comes. */
export const interpreterOf = ({ language, case: reported, assessment }: StockFamily): FamilyNeeds['interpreter'] => ({
  language,
  asked: reported.needsInterpreter ?? null,
  minutes: assessment.visit.minutes,
});

/** What a family may need on a day (a full date): its case grown to that day, weighed by what is known. */
export function familyNeeds(told: StockFamily, day: string): FamilyNeeds {
  const { case: reported } = told;
  const later = day > reported.asOf ? day : reported.asOf;
  const soonDay = addMonths(later, SOON_MONTHS);
  const unborn = reported.children.map(isUnborn);
  const onDay = (date: string): Case => {
    const grown = caseOnDay(reported, date);
    // When a child is born is a note of the case, so a child still to be born stays a newborn.
    return { ...grown, children: grown.children.map((child, i) => (unborn[i] ? { ...child, ageMonths: 0 } : child)) };
  };
  const needsOn = (date: string): readonly (readonly SeatNeed[])[] => {
    const family = onDay(date);
    const ahead = completedMonths(reported.asOf, date);
    return family.children.map((child, i) => seatNeeds(family, child, ahead, unborn[i] === true));
  };
  const now = needsOn(later);
  const soon = needsOn(soonDay);
  return {
    children: reported.children.length,
    seats: now.flat(),
    soon: soon.flatMap((then, i) => moreBy(now[i] ?? [], then)),
    parts: partNeeds(reported),
    manuals: manualsFor(reported),
    interpreter: interpreterOf(told),
    recallsToLookUp: reported.seats.filter(({ recall }) => recall == null || recall === 'unchecked').length,
  };
}

export interface StockReason {
  readonly reason: SeatReason;
  readonly expected: Bounds;
  readonly sources: readonly SourceId[];
}

/** A line of the forecast: what is expected, and what to bring so that it suffices nine times out of ten. */
export interface StockLine<Item extends string> {
  readonly item: Item;
  readonly expected: Bounds;
  readonly enough: Bounds;
  readonly reasons: readonly StockReason[];
}

export interface InterpreterLine {
  readonly language: string;
  readonly families: Bounds;
  readonly minutes: Bounds;
}

export interface StockForecast {
  readonly families: number;
  readonly children: number;
  readonly seats: readonly StockLine<RestraintMode>[];
  readonly soon: readonly StockLine<RestraintMode>[];
  readonly parts: readonly StockLine<Part>[];
  readonly manuals: readonly (Manual & { readonly count: number })[];
  readonly interpreters: readonly InterpreterLine[];
  readonly recallsToLookUp: number;
}

const byExpected = (a: StockReason, b: StockReason): number =>
  b.expected.low - a.expected.low || b.expected.high - a.expected.high || (a.reason < b.reason ? -1 : 1);

function seatLines(needs: readonly SeatNeed[]): readonly StockLine<RestraintMode>[] {
  return RESTRAINT_MODES.flatMap((mode) => {
    const ofMode = needs.filter((need) => need.mode === mode);
    if (ofMode.length === 0) return [];
    const odds = ofMode.map((need) => need.odds);
    const reasons = Map.groupBy(
      ofMode.flatMap((need) => need.reasons),
      ({ reason }) => reason,
    );
    return [
      {
        item: mode,
        expected: sumOf(odds),
        enough: enoughWithin(odds),
        reasons: [...reasons]
          .map(([reason, all]) => ({
            reason,
            expected: sumOf(all.map((one) => one.odds)),
            sources: seatReasonSources(reason),
          }))
          .toSorted(byExpected),
      },
    ];
  });
}

function partLines(needs: readonly PartNeed[]): readonly StockLine<Part>[] {
  return PARTS.flatMap((item) => {
    const odds = needs.filter(({ part }) => part === item).map((need) => need.odds);
    return odds.length === 0 ? [] : [{ item, expected: sumOf(odds), enough: enoughWithin(odds), reasons: [] }];
  });
}

/** Nobody who did not say so needs one for a language that is spoken at the event; for any other nothing says how many do. */
function interpreterLines(families: readonly FamilyNeeds[], spoken: readonly string[]): readonly InterpreterLine[] {
  const needs = families
    .map(({ interpreter: { language, asked, minutes } }) => ({
      language,
      minutes,
      needed: asked === true ? SURELY : asked === false || spoken.includes(language) ? NEVER : PERHAPS,
    }))
    .filter(({ needed }) => isPossible(needed));
  return [...Map.groupBy(needs, ({ language }) => language)]
    .map(([language, all]) => ({
      language,
      families: sumOf(all.map(({ needed }) => needed)),
      minutes: sumOf(all.map(({ needed: { low, high }, minutes }) => ({ low: low * minutes, high: high * minutes }))),
    }))
    .toSorted((a, b) => b.families.high - a.families.high || (a.language < b.language ? -1 : 1));
}

function manualLines(manuals: readonly Manual[]): StockForecast['manuals'] {
  const same = ({ of, name, modelYear }: Manual) => JSON.stringify([of, name.toLowerCase(), modelYear]);
  return [...Map.groupBy(manuals, same).values()]
    .map((all) => ({
      ...(all[0] as Manual),
      likelyMissing: all.some(({ likelyMissing }) => likelyMissing),
      count: all.length,
    }))
    .toSorted(
      (a, b) => Number(b.likelyMissing) - Number(a.likelyMissing) || b.count - a.count || (a.name < b.name ? -1 : 1),
    );
}

/** The forecast for all families of an event, as if each of them comes. `spoken`: languages that need no interpreter there. */
export const stockForecast = (families: readonly FamilyNeeds[], spoken: readonly string[]): StockForecast => ({
  families: families.length,
  children: families.reduce((sum, { children }) => sum + children, 0),
  seats: seatLines(families.flatMap(({ seats }) => seats)),
  soon: seatLines(families.flatMap(({ soon }) => soon)),
  parts: partLines(families.flatMap(({ parts }) => parts)),
  manuals: manualLines(families.flatMap(({ manuals }) => manuals)),
  interpreters: interpreterLines(families, spoken),
  recallsToLookUp: families.reduce((sum, { recallsToLookUp }) => sum + recallsToLookUp, 0),
});
