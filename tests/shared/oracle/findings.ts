import type { Urgency } from '#shared/assessment.ts';
import type { Seat } from '#shared/case.ts';
import type { FindingCode } from '#shared/finding-codes.ts';
import { monthsAhead } from './growth.ts';
import {
  above,
  adviceOf,
  below,
  completed,
  HIGHEST,
  IN,
  LB,
  overAnchorLimit,
  type Point,
  positionOf,
  statusOf,
  withinTypical,
} from './point.ts';

export interface Raised {
  readonly code: FindingCode;
  readonly urgency: Urgency;
  readonly childId: string | null;
  readonly seatId: string | null;
  readonly positionId: string | null;
}

const N: Urgency = 'before-next-trip';
const V: Urgency = 'at-the-visit';
const P: Urgency = 'plan-ahead';

/** What the table of findings says of one child at one point; the law and implausible sizes are judged on the whole case. */
export function findingsOf(point: Point): Raised[] {
  const { child, use, seat, kase } = point;
  const out: Raised[] = [];
  const position = positionOf(point);
  const here = { childId: child.id, seatId: use?.seatId ?? null };
  const add = (code: FindingCode, urgency: Urgency, when: unknown, ids: Partial<Raised> = {}) => {
    if (when === true) out.push({ code, urgency, ...here, positionId: null, ...ids });
  };
  const atPosition = { positionId: position?.id ?? null };

  add('special-care', V, (child.preterm === true && child.age < 12) || child.medical === true, { seatId: null });
  if (!use) return out;
  const secondRow = kase.vehicle?.positions?.some((p) => p.row != null && p.row >= 2);
  add('child-in-front', V, position?.row === 1 && child.age < 156 && secondRow, atPosition);
  add('side-facing-seat', N, position?.facing === 'side' || position?.facing === 'rear', atPosition);
  add('inflatable-belt', V, position?.belt === 'inflatable', atPosition);
  if (!use.mode) return out;

  const mode = use.mode;
  const rear = mode === 'rear-facing';
  const forward = mode === 'forward-facing';
  const harnessed = rear || forward;
  const booster = mode === 'booster';
  const alone = mode === 'seat-belt';
  const restraint = rear || forward || booster ? mode : null;
  const limits = restraint && seat ? point.limits[restraint] : undefined;
  const fit = completed(point);

  add('unrestrained', N, mode === 'none' || mode === 'lap-held', { seatId: null });
  add('mode-not-offered', N, restraint !== null && seat !== null && statusOf(point, restraint) === 'not-offered');
  add('seat-not-attached', N, harnessed && use.attachment === 'none');
  const highest = restraint && HIGHEST[restraint];
  const over = (value: number, limit: number | null | undefined) => limit != null && above(value, limit);
  const under = (value: number, limit: number | null | undefined) => limit != null && below(value, limit);
  add(
    'over-limit',
    N,
    over(child.weight, limits?.maxWeight) ||
      over(child.height, limits?.maxHeight) ||
      over(child.weight, highest?.weight) ||
      over(child.height, highest?.height),
  );
  add(
    'under-minimum',
    N,
    under(child.weight, limits?.minWeight) ||
      under(child.height, limits?.minHeight) ||
      under(child.age, limits?.minAge),
  );
  const lightWithoutLabel = limits?.minWeight == null && below(child.weight, 26.5 * LB);
  add('forward-facing-too-soon', child.age < 12 ? N : V, forward && (child.age < 24 || lightWithoutLabel));
  const twoYearOld = child.age >= 24 && child.age < 36 && withinTypical['rear-facing'](child);
  add(
    'could-stay-rear-facing',
    P,
    forward &&
      child.age >= 24 &&
      (fit['rear-facing'] === 'fits' || (fit['rear-facing'] === 'not-offered' && twoYearOld)),
  );
  const boosterTooSoon = booster && (below(child.weight, 40 * LB) || child.age < 48 || child.ridesUpright === false);
  add('booster-too-soon', child.age < 36 ? N : V, boosterTooSoon);
  add(
    'could-stay-harnessed',
    P,
    booster && !boosterTooSoon && (fit['forward-facing'] === 'fits' || adviceOf(point).mode === 'forward-facing'),
  );
  const short = below(child.height, 57 * IN);
  add('belt-too-soon', short && child.age < 96 ? N : V, alone && child.age < 156 && (short || child.age < 96));
  add('outgrowing-soon', P, restraint !== null && fit[restraint] === 'fits' && nearLimit(point));
  add('head-clearance-low', V, rear && point.headClearance !== null && below(point.headClearance, IN));

  add('two-attachments', V, harnessed && use.attachment === 'both' && seat?.bothAllowed !== true);
  const anchors = use.attachment === 'lower-anchors' || use.attachment === 'both';
  add('lower-anchors-over-limit', V, anchors && overAnchorLimit(point));
  add(
    'center-anchors-borrowed',
    V,
    anchors && position?.lowerAnchors === false && seat?.borrowedAllowed !== true,
    atPosition,
  );
  add('tether-not-used', V, forward && use.tether === 'not-attached' && position?.tetherAnchor !== false);
  add('no-tether-anchor', V, forward && position?.tetherAnchor === false, atPosition);
  add('loose-at-belt-path', V, harnessed && point.movement !== null && above(point.movement, IN));
  add('wrong-belt-path', V, harnessed && use.beltPath != null && use.beltPath !== mode);
  add('webbing-twisted', V, use.twisted === true);
  add(
    'belt-not-locked',
    V,
    harnessed && (use.attachment === 'seat-belt' || use.attachment === 'both') && use.beltLocked === false,
  );
  add('recline-off', V, rear && (use.recline === 'too-upright' || use.recline === 'too-reclined'));
  add('rear-facing-at-air-bag', N, rear && position?.frontAirBag === 'active', atPosition);
  add('booster-lap-only', N, (booster || alone) && position?.belt === 'lap-only', atPosition);
  const { lap, shoulder } = use.beltFit ?? {};
  add('belt-fit-poor', V, (booster || alone) && (lap === 'belly' || (shoulder != null && shoulder !== 'chest')));

  const { straps, pinchable, chestClip, bulkyClothing, addOnProduct, infantInsert } = use.harness ?? {};
  add('straps-at-wrong-height', V, (rear && straps === 'above') || (forward && straps === 'below'));
  add('harness-loose', V, harnessed && pinchable === true);
  add('chest-clip-off', V, harnessed && (chestClip === 'low' || chestClip === 'high'));
  add('bulky-clothing', V, harnessed && bulkyClothing === true);
  add('insert-to-remove', V, forward && infantInsert === true);
  add('add-on-product', V, (harnessed || booster) && addOnProduct === true);
  return out;
}

/** Headroom at most 2 lb or 1 in, or the likely forecast at most four months ahead. */
function nearLimit(point: Point): boolean {
  const { child, use } = point;
  if (!use?.mode || use.mode === 'seat-belt' || use.mode === 'lap-held' || use.mode === 'none') return false;
  const limits = point.limits[use.mode];
  // A need that is not ruled out may be there: then nothing is forecast for certain.
  const noForecast = !child.stated.age || child.medical !== false || (child.preterm !== false && child.age < 24);
  const near = (quantity: 'weight' | 'height', limit: number | null | undefined, room: number) => {
    if (limit == null) return false;
    if (!above(limit - child[quantity], room)) return true;
    if (noForecast || !child.stated[quantity]) return false;
    return monthsAhead(quantity, child.sex, child.age, child[quantity], limit, 4).likely !== null;
  };
  return near('weight', limits?.maxWeight, 2 * LB) || near('height', limits?.maxHeight, IN);
}

const day = (date: string, end: 'first' | 'last'): Date => {
  const [year = 0, month, dayOfMonth] = date.split('-').map(Number);
  if (dayOfMonth) return new Date(Date.UTC(year, (month ?? 1) - 1, dayOfMonth));
  if (month) return end === 'first' ? new Date(Date.UTC(year, month - 1, 1)) : new Date(Date.UTC(year, month, 0));
  return end === 'first' ? new Date(Date.UTC(year, 0, 1)) : new Date(Date.UTC(year, 11, 31));
};

/** The same day so many months later, or the last of that month. */
function monthsLater(date: Date, months: number): Date {
  const target = new Date(Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + months, 1));
  const last = new Date(Date.UTC(target.getUTCFullYear(), target.getUTCMonth() + 1, 0)).getUTCDate();
  target.setUTCDate(Math.min(date.getUTCDate(), last));
  return target;
}

/** The findings about one seat, with its useful life (years, whole) exact. */
export function seatFindings(seat: Seat, asOf: string, usefulLife: number | null): Raised[] {
  const out: Raised[] = [];
  const add = (code: FindingCode, urgency: Urgency, when: unknown) => {
    if (when === true) out.push({ code, urgency, childId: null, seatId: seat.id, positionId: null });
  };
  let expiry: Date | null = null;
  if (seat.expiryDate != null) expiry = day(seat.expiryDate, 'last');
  else if (seat.manufactureDate != null && usefulLife !== null)
    expiry = monthsLater(day(seat.manufactureDate, 'first'), usefulLife * 12);
  const today = day(asOf, 'first');
  add('seat-expired', N, expiry !== null && today > expiry);
  add('seat-expires-soon', P, expiry !== null && today <= expiry && expiry <= monthsLater(today, 6));
  const five = [
    seat.crash?.drivable,
    seat.crash?.nearestDoorUndamaged,
    seat.crash?.noInjuries,
    seat.crash?.noAirBags,
    seat.crash?.noVisibleSeatDamage,
  ];
  const crashed = seat.crash?.happened === true;
  add('seat-crashed', N, crashed && five.includes(false));
  add('seat-crash-unclear', V, crashed && !five.includes(false) && five.some((answer) => answer == null));
  add('seat-crash-minor', P, crashed && five.every((answer) => answer === true));
  add('seat-history-unknown', V, seat.acquired === 'unknown-second-hand');
  add('seat-label-missing', V, seat.labelReadable === false);
  add('seat-parts-missing', V, seat.partsComplete === false);
  add('seat-not-certified', N, seat.certified === false);
  add('seat-recall-open', V, seat.recall === 'open');
  add('seat-recall-unchecked', P, seat.recall === 'unchecked');
  add('seat-not-registered', P, seat.registered === false);
  return out;
}
