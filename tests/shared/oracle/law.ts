import type { AdvisedMode, Case, Use } from '#shared/case.ts';
import table from '#shared/laws/us.json' with { type: 'json' };
import { IN, LB, type Point, PROTECTIVE, positionOf, type Status, statusOf } from './point.ts';

/** Device duties of the US table, judged clause by clause over all completions of one child's measures. */
interface Clause {
  readonly id: string;
  readonly requires: string;
  readonly applies: Record<string, unknown>;
  readonly unless?: Record<string, unknown>;
  readonly onlyWhen?: readonly string[];
  readonly exceptWhen?: readonly string[];
}

const STRENGTH = ['belt-or-restraint', 'booster-or-restraint', 'child-restraint', 'harness', 'rear-facing'] as const;
const REACH: Record<string, (typeof STRENGTH)[number]> = {
  'rear-facing': 'rear-facing',
  'forward-facing': 'harness',
  booster: 'child-restraint',
  'seat-belt': 'belt-or-restraint',
};
const DEMANDS: Record<string, AdvisedMode> = {
  'rear-facing': 'rear-facing',
  harness: 'forward-facing',
  'child-restraint': 'booster',
  'booster-or-restraint': 'booster',
  'belt-or-restraint': 'seat-belt',
};

export function clausesOf(jurisdiction: string | null | undefined): readonly Clause[] | null {
  const found = table.jurisdictions.find((entry) => entry.code === jurisdiction);
  return found ? (found.clauses as unknown as readonly Clause[]) : null;
}

const SLACK = 1e-6;
const test = (name: string, bound: number, { child }: Point): boolean => {
  const metric = name.startsWith('age') ? bound : name.startsWith('weight') ? bound * LB : bound * IN;
  const value = name.startsWith('age') ? child.age : name.startsWith('weight') ? child.weight : child.height;
  if (/Under(Months|Lb|In)$/.test(name)) return value < metric - SLACK;
  if (/AtLeast/.test(name)) return value >= metric - SLACK;
  if (/Over/.test(name)) return value > metric + SLACK;
  return value <= metric + SLACK;
};

function holds(tests: Record<string, unknown>, point: Point): boolean {
  const results = Object.entries(tests)
    .filter(([name]) => name !== 'logic')
    .map(([name, bound]) => test(name, bound as number, point));
  return tests.logic === 'any' ? results.includes(true) : !results.includes(false);
}

type Answer = boolean | 'unanswered';

function factHolds(fact: string, kase: Case, points: readonly Point[]): Answer {
  const first = points[0];
  const child = kase.children.find(({ id }) => id === first?.child.id);
  if ((child?.lawFacts ?? []).some((known) => known === fact)) return true;
  const outgrown = /^outgrown-(rear-facing|harness|booster)$/.exec(fact);
  if (outgrown) {
    const mode = outgrown[1] === 'harness' ? 'forward-facing' : (outgrown[1] as 'rear-facing' | 'booster');
    const statuses = new Set<Status>(points.map((point) => statusOf(point, mode)));
    if ([...statuses].every((status) => status === 'outgrown')) return true;
    if ([...statuses].every((status) => status === 'fits' || status === 'too-small')) return false;
    return 'unanswered';
  }
  const positions = kase.vehicle?.positions ?? [];
  if (fact === 'no-rear-seat') {
    if (positions.some(({ row }) => row != null && row >= 2)) return false;
    return positions.length > 0 && positions.every(({ row }) => row === 1) ? true : 'unanswered';
  }
  const bag = first && positionOf(first)?.frontAirBag;
  if (fact === 'front-airbag-active' && bag) return bag === 'active';
  return 'unanswered';
}

function satisfied(requires: string, use: Use | null, point: Point): boolean | null {
  if (requires === 'rear-seat') {
    const row = positionOf(point)?.row;
    return row == null ? null : row >= 2;
  }
  if (!use?.mode) return null;
  const reach = REACH[use.mode];
  if (!reach) return false;
  const level = (duty: string) => STRENGTH.indexOf(duty as never);
  return level(reach) >= level(requires);
}

type Urgency = 'before-next-trip' | 'at-the-visit';

export interface LawView {
  readonly status: 'meets' | 'does-not-meet' | 'unknown';
  readonly finding: Urgency | null;
  /** Modes demanded for certain, with every exception answered no (rule 9). */
  readonly demanded: readonly AdvisedMode[];
}

/** The modes that some clause demands at every completion, not always the same clause; the strongest common to all. */
function certainly(demands: readonly ReadonlySet<AdvisedMode>[]): AdvisedMode[] {
  const strongest = demands.map((here) => PROTECTIVE.findIndex((mode) => here.has(mode)));
  if (strongest.includes(-1)) return [];
  const common = PROTECTIVE[strongest.reduce((a, b) => Math.max(a, b), 0)];
  return PROTECTIVE.filter((mode) => mode === common || demands.every((here) => here.has(mode)));
}

/** The law for one child, given every completion of the child's facts. */
export function lawFor(kase: Case, points: readonly Point[]): LawView {
  const clauses = clausesOf(kase.jurisdiction);
  const first = points[0];
  if (!clauses || !first) return { status: 'unknown', finding: null, demanded: [] };
  const demands = points.map(() => new Set<AdvisedMode>());
  const broken: Urgency[][] = points.map(() => []);
  const open = points.map(() => !first.use);
  for (const clause of clauses) {
    const applies = points.map(
      (point) => holds(clause.applies, point) && !(clause.unless && holds(clause.unless, point)),
    );
    const exceptions = (clause.exceptWhen ?? []).map((fact) => factHolds(fact, kase, points));
    const conditions = (clause.onlyWhen ?? []).map((fact) => factHolds(fact, kase, points));
    if (exceptions.includes(true) || conditions.includes(false)) continue;
    const done = satisfied(clause.requires, first.use, first);
    const conditional = conditions.includes('unanswered');
    const unanswered = exceptions.includes('unanswered');
    const mode = DEMANDS[clause.requires];
    const urgency = clause.requires === 'rear-seat' || unanswered ? 'at-the-visit' : 'before-next-trip';
    for (const [i, here] of applies.entries()) {
      if (here && mode && !conditional && !unanswered) demands[i]?.add(mode);
      if (here && (done === null || (conditional && !done))) open[i] = true;
      else if (here && done === false) broken[i]?.push(urgency);
    }
  }
  const everywhere = broken.every((list) => list.length > 0);
  const urgent = broken.every((list) => list.includes('before-next-trip'));
  const finding = everywhere ? (urgent ? 'before-next-trip' : 'at-the-visit') : null;
  const clear = !open.includes(true) && broken.every((list) => list.length === 0);
  return {
    status: finding && first.use ? 'does-not-meet' : clear ? 'meets' : 'unknown',
    finding: first.use ? finding : null,
    demanded: certainly(demands),
  };
}
