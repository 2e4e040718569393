import type { Case, Position, Seat } from '../case.ts';
import { ADVISED_MODES } from '../case.ts';
import { seatFindings } from '../findings.ts';
import { NOW } from '../rules/rule.ts';
import { seatFacts } from '../seat-facts.ts';
import type { Option, Riding } from './options.ts';
import { advisedRank, atPosition, needsCare, riding } from './options.ts';
import { changesFrom, exposureOf, WEIGHT } from './preferences.ts';
import type { ArrangementReason } from './reasons.ts';
import { isOpen } from './reasons.ts';

/** An option with all its reasons, and its own part of a plan's cost. */
export interface CostedOption extends Option {
  readonly cost: number;
}

export interface PlanTable {
  readonly positions: readonly Position[];
  readonly seats: readonly Seat[];
  readonly children: number;
  /** Children who need care, by index. */
  readonly inCare: ReadonlySet<number>;
  /** The options at each position, by its index. */
  readonly options: readonly (readonly CostedOption[])[];
}

/** Child id to position id: a child who is to sit there and nowhere else. */
export type Locks = Readonly<Record<string, string>>;

export interface Wishes {
  readonly locks?: Locks;
  /** To stay where one sits today counts before a less exposed place. */
  readonly staying?: boolean;
  /** Only plans with the seats as they are: neither an exchange nor what would help is looked for. */
  readonly ownSeats?: boolean;
}

/** With more children or seats, the exchanges are too many to be searched while somebody waits. */
const MOST_EXCHANGING = 6;

export const mayExchange = ({ children, seats }: Case): boolean =>
  children.length <= MOST_EXCHANGING && seats.length <= MOST_EXCHANGING + 1;

/** Which seats a child may have: the own one, or, without one, those that nobody uses; `any` of the case for exchanges. */
const seatsFor = (family: Case, childId: string, exchange: boolean) => {
  const all = family.seats.map((seat, index) => ({ seat, index }));
  if (exchange) return all;
  const own = family.uses.find((use) => use.childId === childId)?.seatId;
  const used = new Set(family.uses.map(({ seatId }) => seatId));
  return all.filter(({ seat }) => (own == null ? !used.has(seat.id) : seat.id === own));
};

/** Every way in which each child may ride, the place aside. */
export const ridingsOf = (family: Case, exchange: boolean): readonly Riding[] =>
  family.children.flatMap(({ id }, child) =>
    [null, ...seatsFor(family, id, exchange)].flatMap((seat) =>
      ADVISED_MODES.flatMap((mode) => {
        const found = riding(family, child, seat, mode);
        return found ? [found] : [];
      }),
    ),
  );

/** All that is allowed for each child by itself, with its cost; what children do to one another is left to the search. */
export const planTable = (family: Case, exchange: boolean, { locks = {}, staying = false }: Wishes): PlanTable => {
  const positions = family.vehicle?.positions ?? [];
  const ridings = ridingsOf(family, exchange);
  const replaced = new Set(
    family.seats
      .filter((seat) => seatFindings(seatFacts(seat, family.asOf)).some(({ urgency }) => urgency === NOW))
      .map(({ id }) => id),
  );
  const advised = family.children.map((_, i) =>
    Math.min(...ridings.filter(({ child }) => child === i).map((each) => advisedRank(each))),
  );
  const costed = (option: Option, position: Position): CostedOption => {
    const use = family.uses.find(({ childId }) => childId === family.children[option.child]?.id) ?? null;
    const steps = Math.max(0, ADVISED_MODES.indexOf(option.mode) - (advised[option.child] ?? 0));
    const exchanged = use?.seatId != null && option.seatId !== null && option.seatId !== use.seatId;
    const more: readonly (readonly [boolean, ArrangementReason])[] = [
      [steps > 0, 'less-protective-mode'],
      [exchanged, 'seats-exchanged'],
      [option.seatId !== null && replaced.has(option.seatId), 'seat-to-replace'],
    ];
    const reasons = [...option.reasons, ...more.flatMap(([holds, reason]) => (holds ? [reason] : []))];
    return {
      ...option,
      reasons,
      cost:
        (option.front ? WEIGHT.front : 0) +
        steps * WEIGHT.mode +
        (staying ? 0 : exposureOf(position) * WEIGHT.exposure) +
        changesFrom(use, option) * WEIGHT.changes +
        reasons.filter(isOpen).length * WEIGHT.open,
    };
  };
  const options = positions.map((position, index) =>
    ridings.flatMap((each) => {
      const lock = locks[family.children[each.child]?.id ?? ''];
      if (lock !== undefined && lock !== position.id) return [];
      const verdict = atPosition(each, position, index);
      return 'option' in verdict ? [costed(verdict.option, position)] : [];
    }),
  );
  const inCare = new Set(family.children.flatMap((child, i) => (needsCare(family, child) ? [i] : [])));
  return { positions, seats: family.seats, children: family.children.length, inCare, options };
};
