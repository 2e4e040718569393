import type { NestedCondition, RuleProperties } from 'json-rules-engine';
import { Engine } from 'json-rules-engine';
import type { Case } from '#shared/case.ts';
import { inToCm, lbToKg } from '#shared/units.ts';

/** The facts of a one-child case whose facts are all known, flat as the general engine wants them. */
export const flatFacts = (family: Case): Record<string, unknown> => {
  const [child, seat, use] = [family.children[0], family.seats[0], family.uses[0]];
  const position = family.vehicle?.positions?.[0];
  const mode = use?.mode as 'rear-facing' | 'forward-facing' | 'booster';
  const limits = seat?.modes?.[mode];
  return {
    ...child,
    ...seat,
    ...seat?.crash,
    ...position,
    ...use,
    ...use?.harness,
    ...use?.beltFit,
    maxWeightKg: limits?.maxWeightKg,
    maxHeightCm: limits?.maxHeightCm,
    minWeightKg: limits?.minWeightKg ?? 0,
  };
};

const is = (fact: string, value: unknown): NestedCondition => ({ fact, operator: 'equal', value });
const isIn = (fact: string, value: readonly unknown[]): NestedCondition => ({ fact, operator: 'in', value });
const isAbove = (fact: string, value: unknown): NestedCondition => ({ fact, operator: 'greaterThan', value });
const isBelow = (fact: string, value: unknown): NestedCondition => ({ fact, operator: 'lessThan', value });
const all = (...conditions: NestedCondition[]): NestedCondition => ({ all: conditions });
const any = (...conditions: NestedCondition[]): NestedCondition => ({ any: conditions });

const HARNESSED = isIn('mode', ['rear-facing', 'forward-facing']);
const FORWARD = is('mode', 'forward-facing');
const REAR = is('mode', 'rear-facing');
const BOOSTER = is('mode', 'booster');
const MINOR = ['drivable', 'nearestDoorUndamaged', 'noInjuries', 'noAirBags', 'noVisibleSeatDamage'];

/** Rules that need no range, no forecast, no law and no advice, as the general engine says them. */
const SUBSET: Readonly<Record<string, NestedCondition>> = {
  'over-limit': any(isAbove('weightKg', { fact: 'maxWeightKg' }), isAbove('heightCm', { fact: 'maxHeightCm' })),
  'under-minimum': all(isBelow('weightKg', { fact: 'minWeightKg' })),
  'booster-too-soon': all(BOOSTER, any(isBelow('weightKg', lbToKg(40)), isBelow('ageMonths', 48))),
  'head-clearance-low': all(REAR, isBelow('headClearanceCm', inToCm(1))),
  'seat-crashed': all(is('happened', true), any(...MINOR.map((condition) => is(condition, false)))),
  'seat-crash-minor': all(is('happened', true), ...MINOR.map((condition) => is(condition, true))),
  'seat-label-missing': all(is('labelReadable', false)),
  'seat-parts-missing': all(is('partsComplete', false)),
  'seat-not-certified': all(is('certified', false)),
  'seat-recall-open': all(is('recall', 'open')),
  'seat-recall-unchecked': all(is('recall', 'unchecked')),
  'seat-not-registered': all(is('registered', false)),
  'two-attachments': all(HARNESSED, is('attachment', 'both'), is('bothAllowed', false)),
  'tether-not-used': all(FORWARD, is('tether', 'not-attached'), is('tetherAnchor', true)),
  'no-tether-anchor': all(FORWARD, is('tetherAnchor', false)),
  'loose-at-belt-path': all(HARNESSED, isAbove('movementCm', inToCm(1))),
  'wrong-belt-path': any(all(REAR, is('beltPath', 'forward-facing')), all(FORWARD, is('beltPath', 'rear-facing'))),
  'webbing-twisted': all(is('twisted', true)),
  'belt-not-locked': all(HARNESSED, isIn('attachment', ['seat-belt', 'both']), is('beltLocked', false)),
  'recline-off': all(REAR, isIn('recline', ['too-upright', 'too-reclined'])),
  'rear-facing-at-air-bag': all(REAR, is('frontAirBag', 'active')),
  'booster-lap-only': all(BOOSTER, is('belt', 'lap-only')),
  'belt-fit-poor': all(BOOSTER, any(is('lap', 'belly'), isIn('shoulder', ['neck', 'off-shoulder', 'behind-back']))),
  'side-facing-seat': all(isIn('facing', ['side', 'rear'])),
  'inflatable-belt': all(is('belt', 'inflatable')),
  'straps-at-wrong-height': any(all(REAR, is('straps', 'above')), all(FORWARD, is('straps', 'below'))),
  'harness-loose': all(HARNESSED, is('pinchable', true)),
  'chest-clip-off': all(HARNESSED, isIn('chestClip', ['low', 'high'])),
  'bulky-clothing': all(HARNESSED, is('bulkyClothing', true)),
  'insert-to-remove': all(FORWARD, is('infantInsert', true)),
  'add-on-product': all(is('addOnProduct', true)),
};

export const SUBSET_CODES: readonly string[] = Object.keys(SUBSET);

export const generalEngine = (): Engine =>
  new Engine(
    Object.entries(SUBSET).map(([code, conditions]) => ({ conditions, event: { type: code } }) as RuleProperties),
    { allowUndefinedFacts: true },
  );

/** The codes of the subset that the general engine raises, sorted. */
export const raisedByEngine = async (engine: Engine, facts: Record<string, unknown>): Promise<string[]> => {
  const { events } = await engine.run(facts);
  return events.map(({ type }) => type).sort();
};
