import type { Case } from '../case.ts';
import type { Reason, VisitChange, VisitEntry } from './entries.ts';

type ChangeOf<Kind extends VisitChange['kind']> = Extract<VisitChange, { kind: Kind }>;

/** One thing said of one matter, by whom and when; `why` where it corrects a signed record. */
export interface Said<Change extends VisitChange = VisitChange> {
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly change: Change;
  readonly why: Reason | null;
}

/** All that was said of each matter, the latest last: nothing is overwritten. */
export type Slots = ReadonlyMap<string, readonly Said[]>;

export interface VisitRecord {
  /** As it stands, corrections included. */
  readonly current: Slots;
  /** As it was signed, and never anything else; null before. */
  readonly signed: { readonly slots: Slots; readonly by: string; readonly at: string; readonly reported: Case } | null;
  /** What was added after the sign-off, in the order of arrival. */
  readonly corrections: readonly Said[];
  /** When the first entry was written; null where there is none. */
  readonly begun: string | null;
}

/** The matter that a change speaks of; two changes of the same matter stand against each other, and the later holds. */
export function slotOf(change: VisitChange, entryId: string): string {
  switch (change.kind) {
    case 'fact':
      return `fact ${change.stage} ${change.path}`;
    case 'place':
      return `place ${change.stage} ${change.childId}`;
    case 'finding':
      return findingSlot(change);
    case 'education':
      return `education ${change.topic}`;
    case 'seat':
      return `seat ${change.childId}`;
    case 'reminders':
      return 'reminders';
    case 'note':
      return `note ${entryId}`;
  }
}

type FindingName = Pick<ChangeOf<'finding'>, 'childId' | 'seatId' | 'positionId'> & { readonly code: string };

/** Ids may hold anything, so they are kept apart as JSON. */
export const findingSlot = ({ code, childId, seatId, positionId }: FindingName): string =>
  `finding ${JSON.stringify([code, childId, seatId, positionId])}`;

/** By when they were written; within one instant by their arrival. */
const inOrder = (a: VisitEntry, b: VisitEntry): number => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.seq - b.seq);

const said = ({ id, at, by, body }: VisitEntry): Said | null => {
  if (body.kind === 'sign-off') return null;
  return body.kind === 'correction'
    ? { id, at, by, change: body.change, why: body.why }
    : { id, at, by, change: body, why: null };
};

function slotsOf(entries: readonly VisitEntry[]): Slots {
  const slots = new Map<string, Said[]>();
  for (const entry of entries.toSorted(inOrder)) {
    const one = said(entry);
    if (!one) continue;
    const slot = slotOf(one.change, one.id);
    slots.set(slot, [...(slots.get(slot) ?? []), one]);
  }
  return slots;
}

/**
 * The record that entries make, in whatever order they are given: who wrote last holds, whenever it arrived. After the
 * first sign-off (by order of arrival) only corrections count, and the signed part never changes.
 */
export function foldVisit(entries: readonly VisitEntry[]): VisitRecord {
  const arrived = [...new Map(entries.map((entry) => [entry.seq, entry])).values()].sort((a, b) => a.seq - b.seq);
  const signOff = arrived.find(({ body }) => body.kind === 'sign-off');
  const before = arrived.filter(({ seq }) => !signOff || seq < signOff.seq);
  const after = arrived.filter(({ seq, body }) => signOff && seq > signOff.seq && body.kind === 'correction');
  const frozen = slotsOf(before);
  const signed =
    signOff?.body.kind === 'sign-off'
      ? { slots: frozen, by: signOff.by, at: signOff.at, reported: signOff.body.reported }
      : null;
  return {
    signed,
    current: after.length === 0 ? frozen : slotsOf([...before, ...after]),
    corrections: after.map(said).filter((one) => one !== null),
    begun: arrived.map(({ at }) => at).toSorted()[0] ?? null,
  };
}

/** All that was said under a slot, the latest last. */
export const history = (slots: Slots, slot: string): readonly Said[] => slots.get(slot) ?? [];

/** What holds of each matter of one kind. */
export function latestOf<Kind extends VisitChange['kind']>(slots: Slots, kind: Kind): readonly Said<ChangeOf<Kind>>[] {
  return [...slots.values()].flatMap((all) => {
    const last = all.at(-1);
    return last?.change.kind === kind ? [last as Said<ChangeOf<Kind>>] : [];
  });
}
