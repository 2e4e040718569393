import type { Case, ModeInUse, SeatKind } from '#shared/case.ts';
import type { Chance } from './chance.ts';
import { type Plan, placeOf, type Rider, riderOf } from './rider.ts';

export const AS_OF = '2026-05-16';

/** What a caregiver may not be able to tell. */
export const GAPS = [
  'expiry',
  'dates',
  'recall',
  'hardware',
  'seat-weight',
  'anchor-limit',
  'manuals',
  'size',
] as const;
export type Gap = (typeof GAPS)[number];

export interface Family {
  readonly kind: FamilyKind;
  /** The family as it is, every fact known. */
  readonly truth: Case;
  readonly gaps: readonly Gap[];
  /** Month in which an unborn child is due, by its id. */
  readonly due: Readonly<Record<string, string>>;
  /** Said beside the answers: a seat in another car. */
  readonly aside: string | null;
}

interface Household {
  readonly plans: (chance: Chance) => readonly Plan[];
  readonly due?: string;
  readonly aside?: string;
  /** All children are of one birth. */
  readonly twins?: boolean;
}

const HARNESS_KINDS: Readonly<Record<string, readonly SeatKind[]>> = {
  'rear-facing': ['convertible', 'all-in-one'],
  'forward-facing': ['convertible', 'all-in-one', 'forward-facing-harness', 'combination'],
  booster: ['booster', 'booster', 'combination', 'all-in-one'],
};

const REAR_PLACES = ['p2L', 'p2C', 'p2R'] as const;

const plan = (
  months: Plan['months'],
  mode: ModeInUse,
  kind: SeatKind | null,
  position: string | null,
  more: Partial<Plan> = {},
): Plan => ({
  months,
  mode,
  kind,
  position,
  ...more,
});

type Maker = (chance: Chance, position: string) => Plan;

const newborn: Maker = (_, position) => plan([0, 9], 'rear-facing', 'rear-facing-only', position);
const toddler: Maker = (chance, position) =>
  plan([9, 40], 'rear-facing', chance.oneOf(HARNESS_KINDS['rear-facing'] as SeatKind[]), position);
const turned: Maker = (chance, position) =>
  plan(
    [9, 30],
    'forward-facing',
    chance.oneOf(['convertible', 'convertible', 'all-in-one', 'rear-facing-only'] as const),
    position,
  );
const preschooler: Maker = (chance, position) =>
  plan([30, 66], 'forward-facing', chance.oneOf(HARNESS_KINDS['forward-facing'] as SeatKind[]), position);
const boosterChild: Maker = (chance, position) =>
  plan([34, 118], 'booster', chance.oneOf(HARNESS_KINDS.booster as SeatKind[]), position);
const onBelt: Maker = (_, position) => plan([48, 150], 'seat-belt', null, position);

const ANYONE: readonly Maker[] = [newborn, toddler, turned, preschooler, boosterChild, onBelt];

const one =
  (maker: Maker): Household['plans'] =>
  (chance) => [maker(chance, chance.oneOf(REAR_PLACES))];

const several =
  (count: number): Household['plans'] =>
  (chance) =>
    REAR_PLACES.slice(0, count).map((position) => chance.oneOf(ANYONE)(chance, position));

const KINDS = {
  'newborn in rear-facing-only': { plans: one(newborn) },
  'toddler rear-facing': { plans: one(toddler) },
  'toddler turned forward': { plans: one(turned) },
  'preschooler harnessed': { plans: one(preschooler) },
  'booster child': { plans: one(boosterChild) },
  'belt-only child': { plans: one(onBelt) },
  'unrestrained or lap-held': {
    plans: one((chance, position) => {
      const mode = chance.oneOf(['none', 'lap-held'] as const);
      const kind = chance.oneOf([null, 'convertible', 'rear-facing-only', 'booster'] as const);
      return plan([2, 70], mode, kind, mode === 'lap-held' ? position : null);
    }),
  },
  'used seat of unknown history': {
    plans: one((chance, position) => ({
      ...chance.oneOf([newborn, toddler, preschooler, boosterChild])(chance, position),
      acquired: 'unknown-second-hand',
    })),
  },
  'front seat with air bag': {
    plans: (chance) => [chance.oneOf([newborn, toddler, preschooler, boosterChild, onBelt])(chance, 'p1R')],
  },
  'two children': { plans: several(2) },
  'three children': { plans: several(3) },
  twins: {
    twins: true,
    plans: (chance) => {
      const maker = chance.oneOf([newborn, toddler, preschooler]);
      const first = maker(chance, 'p2L');
      return [first, { ...first, position: 'p2R' }];
    },
  },
  unborn: {
    due: '2026-07',
    plans: (chance) => [plan([0, 0], 'rear-facing', chance.oneOf(['rear-facing-only', 'convertible'] as const), null)],
  },
  'no seat yet': {
    plans: one((chance, position) =>
      chance.happens(0.5) ? plan([0, 60], 'none', null, null) : plan([0, 60], 'lap-held', null, position),
    ),
  },
  'special care': {
    plans: one((chance, position) => ({ ...chance.oneOf([newborn, toddler])(chance, position), specialCare: true })),
  },
  'second seat': {
    aside: "we also use a seat in grandma's car",
    plans: one((chance, position) => chance.oneOf([toddler, preschooler, boosterChild])(chance, position)),
  },
} as const satisfies Readonly<Record<string, Household>>;

export type FamilyKind = keyof typeof KINDS;
export const FAMILY_KINDS = Object.keys(KINDS) as readonly FamilyKind[];

const PLACES_IN_ALL = ['p1R', 'p2L', 'p2C', 'p2R'] as const;
const STATES = ['US-CA', 'US-TX', 'US-WA', 'US-FL', 'US-IL'] as const;

/** Of one birth and in seats of one model, each with its own past. */
function alike(riders: readonly Rider[]): readonly Rider[] {
  const [first] = riders;
  if (!first) return riders;
  return riders.map(({ child, seat, use }) => ({
    child: { ...child, ageMonths: first.child.ageMonths },
    seat: seat &&
      first.seat && {
        ...seat,
        modes: first.seat.modes,
        massKg: first.seat.massKg,
        lowerAnchorLimitKg: first.seat.lowerAnchorLimitKg,
      },
    use,
  }));
}

/** An unborn child: judged as a newborn whose size nobody knows, with a seat that is not in use yet. */
const notYetBorn = ({ child, seat }: Rider): Rider => ({
  child: { id: child.id, ageMonths: 0 },
  seat,
  use: { childId: child.id, seatId: seat?.id ?? null },
});

const gapsOf = (chance: Chance): readonly Gap[] =>
  GAPS.filter((gap) => chance.happens(gap === 'manuals' || gap === 'seat-weight' ? 0.6 : gap === 'size' ? 0.05 : 0.2));

/** An invented family of a kind. */
export function familyOf(chance: Chance, kind: FamilyKind): Family {
  const { plans, due, aside, twins }: Household = KINDS[kind];
  const drawn = plans(chance).map((each, i) => riderOf(chance, i + 1, each));
  const riders = due ? drawn.map(notYetBorn) : twins ? alike(drawn) : drawn;
  const places = PLACES_IN_ALL.map((id) => placeOf(chance, id));
  return {
    kind,
    truth: {
      asOf: AS_OF,
      jurisdiction: chance.oneOf(STATES),
      children: riders.map(({ child }) => child),
      seats: riders.flatMap(({ seat, use }) => (seat && use.mode !== 'seat-belt' ? [seat] : [])),
      vehicle: { modelYear: chance.whole(1996, 2026), positions: places },
      uses: riders.map(({ use }) => use),
    },
    gaps: gapsOf(chance),
    due: due ? Object.fromEntries(riders.map(({ child }) => [child.id, due])) : {},
    aside: aside ?? null,
  };
}
