import { z } from 'zod';
import type { Wishes } from './arranging/plan-table.ts';
import { mayExchange, planTable } from './arranging/plan-table.ts';
import type { ArrangementReason } from './arranging/reasons.ts';
import { sortReasons } from './arranging/reasons.ts';
import type { FoundPlan } from './arranging/search.ts';
import { search } from './arranging/search.ts';
import { smallestChanges } from './arranging/smallest-changes.ts';
import type { Case } from './case.ts';
import { ADVISED_MODES } from './case.ts';

/** At most so many plans are listed; `total` tells how many there are. */
export const MOST_LISTED = 100;
/** Beyond these no vehicle is searched. */
export const LARGEST = { children: 8, positions: 12, abreast: 4, seats: 16 } as const;
const CAPS = `${LARGEST.children} children, ${LARGEST.seats} seats, ${LARGEST.positions} positions, ${LARGEST.abreast} of them in a row`;

export const arrangementsSchema = z.strictObject({
  arrangements: z.array(
    z.strictObject({
      places: z.array(
        z.strictObject({
          childId: z.string(),
          /** Null for the seat belt alone. */
          seatId: z.string().nullable(),
          positionId: z.string(),
          mode: z.enum(ADVISED_MODES),
          attachment: z.enum(['lower-anchors', 'seat-belt']),
          tether: z.enum(['required', 'not-used', 'unknown']),
        }),
      ),
      reasons: z.array(z.string()),
    }),
  ),
  total: z.int(),
  /** Only where nothing is allowed: each set of changes by itself would make a plan possible. */
  blockedBy: z.array(z.array(z.string())),
});

export type Arrangements = z.infer<typeof arrangementsSchema>;
export type Arrangement = Arrangements['arrangements'][number];
export type ArrangedPlace = Arrangement['places'][number];

/** Why a case is too large to be searched, as the path of what is too much; null where it is not. */
export const tooLarge = (family: Case): { path: string; message: string } | null => {
  const positions = family.vehicle?.positions ?? [];
  const abreast = Math.max(0, ...positions.map(({ row }) => positions.filter((one) => one.row === row).length));
  const over = (path: string, count: number, most: number, what: string) =>
    count > most ? { path, message: `${count} ${what}; at most ${most} can be arranged (${CAPS})` } : null;
  return (
    over('$.children', family.children.length, LARGEST.children, 'children') ??
    over('$.seats', family.seats.length, LARGEST.seats, 'seats') ??
    over('$.vehicle.positions', positions.length, LARGEST.positions, 'positions') ??
    (positions.some(({ row }) => row != null)
      ? over('$.vehicle.positions', abreast, LARGEST.abreast, 'positions in one row')
      : null)
  );
};

const asToday = (family: Case, { options }: FoundPlan): boolean =>
  options.every(({ child, seatId, positionId, mode }) => {
    const use = family.uses.find(({ childId }) => childId === family.children[child]?.id);
    return use?.positionId === positionId && use.mode === mode && (use.seatId ?? null) === seatId;
  });

const describePlan = (family: Case, plan: FoundPlan): Arrangement => {
  const reasons: ArrangementReason[] = [...plan.reasons, ...(asToday(family, plan) ? (['as-today'] as const) : [])];
  return {
    places: plan.options.map(({ child, seatId, positionId, mode, attachment, tether }) => ({
      childId: family.children[child]?.id ?? '',
      seatId,
      positionId,
      mode,
      attachment,
      tether,
    })),
    reasons: sortReasons(reasons),
  };
};

/**
 * Every allowed way to seat all children of a case in its vehicle, best first (arranging/preferences.ts has the order), or
 * what would make one possible. The positions of a case are places a child may ride in. What is not known to be forbidden
 * is allowed and said by a reason. Children keep their seats; only where nothing works so may any child have any
 * seat, and that only among few enough (`mayExchange`).
 * `wishes` may hold children to positions. Throws a RangeError for a case that `tooLarge` names.
 */
export const arrange = (family: Case, wishes: Wishes = {}): Arrangements => {
  const large = tooLarge(family);
  if (large) throw new RangeError(`${large.path}: ${large.message}`);
  if (family.children.length === 0) return { arrangements: [], total: 0, blockedBy: [] };
  for (const exchange of mayExchange(family) && !wishes.ownSeats ? [false, true] : [false]) {
    const { plans, total } = search(planTable(family, exchange, wishes), MOST_LISTED);
    if (total > 0) return { arrangements: plans.map((plan) => describePlan(family, plan)), total, blockedBy: [] };
  }
  if (wishes.ownSeats) return { arrangements: [], total: 0, blockedBy: [] };
  return { arrangements: [], total: 0, blockedBy: smallestChanges(family, wishes.locks ?? {}) };
};
