import type { Case, Position, Use } from '../case.ts';
import { addMonths, completedMonths } from '../dates.ts';
import { toInterval } from '../interval.ts';
import type { Stage, VisitChange } from './entries.ts';
import { latestOf, type Slots } from './fold.ts';
import { recordables } from './recordable.ts';
import { useOf, withFact, withUse } from './set-fact.ts';

type Place = Extract<VisitChange, { kind: 'place' }>;

/** Reported facts on a later day: an age given in months has grown by then, where the day of birth is unknown within a month. */
export function caseOnDay(reported: Case, day: string): Case {
  if (day <= reported.asOf) return reported;
  const months = completedMonths(reported.asOf, day);
  const more = addMonths(reported.asOf, months) < day ? 1 : 0;
  const children = reported.children.map((child) => {
    const age = child.birthDate == null ? toInterval(child.ageMonths) : null;
    if (age === null) return child;
    const [min, max] = [age.min + months, age.max + months + more];
    return { ...child, ageMonths: min === max ? min : { min, max } };
  });
  return { ...reported, asOf: day, children };
}

const SIDES = { left: 'L', center: 'C', right: 'R' } as const;

/** The case with a child in a place of the vehicle, which is added where nobody spoke of it yet. */
function withPlace(family: Case, { childId, row, side }: Place): Case {
  const positions = family.vehicle?.positions ?? [];
  const there = positions.find((position) => position.row === row && position.side === side);
  const taken = new Set(positions.map(({ id }) => id));
  let id = `p${row}${SIDES[side]}`;
  while (taken.has(id)) id += '+';
  // Rows behind the front have no frontal air bag (common practice).
  const added: Position = { id, row, side, ...(row > 1 && { frontAirBag: 'none' as const }) };
  const placed = there ? family : { ...family, vehicle: { ...family.vehicle, positions: [...positions, added] } };
  return withUse(placed, { ...useOf(placed, childId), positionId: there?.id ?? id });
}

const withPlaces = (family: Case, slots: Slots, stage: Stage): Case =>
  latestOf(slots, 'place')
    .filter(({ change }) => change.stage === stage && family.children.some(({ id }) => id === change.childId))
    .reduce((done, { change }) => withPlace(done, change), family);

function withFacts(family: Case, slots: Slots, stage: Stage): Case {
  const known = new Map(recordables(family).map((fact) => [fact.path, fact]));
  return latestOf(slots, 'fact')
    .filter(({ change }) => change.stage === stage && change.value !== null)
    .reduce((done, { change }) => {
      const fact = known.get(change.path);
      return (fact && withFact(done, fact, change.value)) ?? done;
    }, family);
}

/** The seats that children leave in, in the place of those they came in. */
function withSeats(family: Case, slots: Slots): Case {
  let swapped = family;
  for (const { change } of latestOf(slots, 'seat')) {
    const { childId, seat } = change;
    if (!seat || !family.children.some(({ id }) => id === childId)) continue;
    const { id, kind, description } = seat;
    if (!swapped.seats.some((one) => one.id === id))
      swapped = { ...swapped, seats: [...swapped.seats, { id, kind, description }] };
    swapped = withUse(swapped, { ...useOf(swapped, childId), seatId: id });
  }
  const inUse = (uses: Case['uses'], id: string) => uses.some(({ seatId }) => seatId === id);
  const seats = swapped.seats.filter(({ id }) => !inUse(family.uses, id) || inUse(swapped.uses, id));
  return { ...swapped, seats };
}

/** What is still known of an installation that was found, once parts of it are done anew: the rest has to be seen again. */
function stillKnown(found: Use, left: Pick<Use, 'seatId' | 'positionId' | 'mode' | 'attachment'>): Use {
  const { childId, seatId, positionId } = { ...found, ...left };
  const mode = left.mode ?? (seatId === found.seatId ? found.mode : undefined);
  if (seatId !== found.seatId || mode !== found.mode) return { childId, seatId, positionId, mode };
  if (positionId !== found.positionId) {
    const { harness, headClearanceCm } = found;
    return { childId, seatId, positionId, mode, harness, headClearanceCm };
  }
  if (left.attachment == null || left.attachment === found.attachment) return found;
  const { movementCm: _movement, beltLocked: _locked, twisted: _twisted, beltPath: _path, ...rest } = found;
  return rest;
}

/** The case as found: reported facts, those recorded in their place, and the places seen. `day` is the day of the visit. */
export function caseAsFound(reported: Case, slots: Slots, day: string): Case {
  return withFacts(withPlaces(caseOnDay(reported, day), slots, 'found'), slots, 'found');
}

/**
 * The case as left: as found, but for what was changed; what a change makes doubtful is unknown until it is seen again.
 * Facts of a seat or place that came in at the visit are recorded as left.
 */
export function caseAsLeft(reported: Case, slots: Slots, day: string): Case {
  const found = caseAsFound(reported, slots, day);
  const moved = withPlaces(withSeats(found, slots), slots, 'left');
  const recorded = new Map(
    latestOf(slots, 'fact')
      .filter(({ change }) => change.stage === 'left' && change.value !== null)
      .map(({ change }) => [change.path, change.value]),
  );
  const anew = moved.children.reduce((done, { id }) => {
    const said = (field: 'mode' | 'attachment') => recorded.get(`uses.${id}.${field}`);
    const { seatId, positionId } = useOf(done, id);
    const left = {
      seatId,
      positionId,
      ...(said('mode') !== undefined && { mode: said('mode') as Use['mode'] }),
      ...(said('attachment') !== undefined && { attachment: said('attachment') as Use['attachment'] }),
    };
    const use = stillKnown(useOf(found, id), left);
    return Object.keys(use).length === 1 ? done : withUse(done, use);
  }, moved);
  return withFacts(anew, slots, 'left');
}
