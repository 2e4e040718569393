import { type Forecast, URGENCIES, type Urgency } from '#shared/assessment.ts';
import type { AdvisedMode, Case, Child, RestraintMode } from '#shared/case.ts';
import { fits, pointsOf } from './completions.ts';
import { findingsOf, type Raised, seatFindings } from './findings.ts';
import { forecastsOf } from './forecast.ts';
import { implausible, spanOf } from './grids.ts';
import { type LawView, lawFor } from './law.ts';
import {
  adviceOf,
  anchorLimit,
  attachmentOf,
  MODES,
  PROTECTIVE,
  type Status,
  statusOf,
  type Verdict,
} from './point.ts';

/** What the rules say of a whole case: what holds at every completion. */
export interface ChildView {
  readonly childId: string;
  readonly mode: AdvisedMode;
  readonly candidates: readonly AdvisedMode[];
  readonly seatChange: boolean;
  readonly statuses: Record<RestraintMode, readonly Status[]>;
  readonly law: LawView;
  /** Only where the facts are exact: null otherwise. */
  readonly forecast: readonly Forecast[] | null;
  readonly use: {
    readonly lowerAnchors: Verdict;
    readonly seatBelt: Verdict;
    readonly tether: string;
    readonly limit: { readonly min: number; readonly max: number } | null;
  } | null;
}

export interface WholeView {
  readonly children: readonly ChildView[];
  readonly findings: readonly Raised[];
}

const key = (raised: Raised) => [raised.code, raised.childId, raised.seatId, raised.positionId].join(' ');

/** Raised where it is raised in every list, at the lowest urgency of any. */
export function inEvery(lists: readonly (readonly Raised[])[]): Raised[] {
  const [first = [], ...others] = lists;
  const lowest = new Map(first.map((raised) => [key(raised), raised]));
  for (const list of others) {
    const here = new Map(list.map((raised) => [key(raised), raised]));
    for (const [id, raised] of lowest) {
      const other = here.get(id);
      if (!other) lowest.delete(id);
      else if (URGENCIES.indexOf(other.urgency) > URGENCIES.indexOf(raised.urgency)) lowest.set(id, other);
    }
  }
  return [...lowest.values()];
}

const widened = ({ min, max }: { min: number; max: number }, value: number) => ({
  min: Math.min(min, value),
  max: Math.max(max, value),
});

const agreed = <T>(values: readonly T[], otherwise: T): T =>
  values.every((value) => value === values[0]) && values[0] !== undefined ? values[0] : otherwise;

function childView(kase: Case, child: Child): { view: ChildView; findings: Raised[] } | null {
  const completions = pointsOf(kase, child);
  if (!completions) return null;
  const { points, use } = completions;
  const law = lawFor(kase, points);
  const all = points.flatMap(fits).map((point) => ({ ...point, demanded: law.demanded }));
  const advices = all.map(adviceOf);
  const candidates = PROTECTIVE.filter((mode) => advices.some((advice) => advice.mode === mode));
  const mode = candidates[0] ?? 'rear-facing';
  const findings = inEvery(all.map(findingsOf));
  const own = { childId: child.id, seatId: null, positionId: null };
  const odd = implausible(child, kase.asOf, 'weight') || implausible(child, kase.asOf, 'height');
  if (odd) findings.push({ code: 'size-implausible', urgency: 'at-the-visit', ...own });
  if (law.finding) findings.push({ code: 'law-not-met', urgency: law.finding satisfies Urgency, ...own });
  const attachments = all.map(attachmentOf);
  const limits = all.map(anchorLimit).filter((limit) => limit !== null);
  const statuses = Object.fromEntries(
    MODES.map((name) => [name, [...new Set(points.map((point) => statusOf(point, name)))]]),
  ) as unknown as ChildView['statuses'];
  return {
    findings,
    view: {
      childId: child.id,
      mode,
      candidates,
      seatChange: advices.filter((advice) => advice.mode === mode).every((advice) => advice.seatChange),
      statuses,
      law,
      forecast: points.length === 1 && points[0] ? forecastsOf(points[0], mode) : null,
      use: use && {
        lowerAnchors: agreed(
          attachments.map((entry) => entry.lowerAnchors),
          'unknown',
        ),
        seatBelt: agreed(
          attachments.map((entry) => entry.seatBelt),
          'unknown',
        ),
        tether: agreed(
          attachments.map((entry) => entry.tether),
          'unknown',
        ),
        limit: limits.length < all.length ? null : limits.reduce(widened, { min: Infinity, max: -Infinity }),
      },
    },
  };
}

/** Null where a child has more completions than are worth trying. */
export function judge(kase: Case): WholeView | null {
  const parts = kase.children.map((child) => childView(kase, child)).filter((part) => part !== null);
  if (parts.length < kase.children.length) return null;
  const seats = kase.seats.flatMap((seat) => {
    const span = spanOf(seat.usefulLifeYears ?? null);
    const years = span ? Array.from({ length: span.max - span.min + 1 }, (_, i) => span.min + i) : [null];
    return inEvery(years.map((life) => seatFindings(seat, kase.asOf, life)));
  });
  return {
    children: parts.map(({ view }) => view),
    findings: [...parts.flatMap(({ findings }) => findings), ...seats],
  };
}

/** Minutes, priority and what follows from the findings (rules.md, Visit). */
export function visitOf(kase: Case, findings: readonly Raised[]) {
  const atVisit = findings.filter(({ urgency }) => urgency !== 'plan-ahead');
  const special = findings.some(({ code }) => code === 'special-care');
  const early = findings.filter(({ urgency }) => urgency === 'at-the-visit').length >= 3 || special;
  return {
    minutes:
      10 +
      20 * kase.children.length +
      Math.min(4 * atVisit.length, 20 * kase.children.length) +
      (kase.needsInterpreter === true ? 10 : 0) +
      (special ? 15 : 0),
    priority: findings.some(({ urgency }) => urgency === 'before-next-trip')
      ? 'before-travel'
      : early
        ? 'early'
        : 'routine',
  };
}
