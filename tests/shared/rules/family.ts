import type { Case } from '#shared/case.ts';
import { parseCase } from '#shared/case.ts';

type Tree = { [key: string]: unknown };

const LABEL = { minWeightKg: null, minHeightCm: null, minAgeMonths: null };
const CONVERTIBLE = {
  kind: 'convertible',
  modes: {
    'rear-facing': { ...LABEL, maxWeightKg: 18.1436948, maxHeightCm: 109.22 },
    'forward-facing': { ...LABEL, minWeightKg: 12.020197805, maxWeightKg: 29.48350405, maxHeightCm: 124.46 },
  },
};
const BOOSTER = {
  kind: 'booster',
  modes: { booster: { ...LABEL, minWeightKg: 18.1436948, maxWeightKg: 45.359237, maxHeightCm: 149 } },
};

/** Invented one-child families, nothing wrong and every fact a rule may read known; `use` names how the child rides. */
const STAGES = {
  'rear-facing': { child: { ageMonths: 20, weightKg: 11, heightCm: 84 }, seat: CONVERTIBLE },
  'forward-facing': { child: { ageMonths: 50, weightKg: 19, heightCm: 111 }, seat: CONVERTIBLE },
  booster: { child: { ageMonths: 84, weightKg: 24, heightCm: 124 }, seat: BOOSTER },
  'seat-belt': { child: { ageMonths: 110, weightKg: 38, heightCm: 148 }, seat: BOOSTER },
} as const;
export type Stage = keyof typeof STAGES;

const base = (stage: Stage): Tree => {
  const { child, seat } = STAGES[stage];
  return structuredClone({
    asOf: '2026-05-16',
    jurisdiction: 'US-CA',
    needsInterpreter: false,
    children: [
      {
        id: 'c1',
        sex: 'female',
        sizeConfirmed: false,
        ridesUpright: true,
        bornBeforeWeek37: false,
        medicalNeeds: false,
        lawFacts: [],
        ...child,
      },
    ],
    seats: [
      {
        id: 's1',
        massKg: 9,
        lowerAnchorLimitKg: { 'rear-facing': 15.9, 'forward-facing': 20 },
        bothAllowed: false,
        borrowedAllowed: false,
        manufactureDate: '2024-05',
        expiryDate: '2032-05',
        usefulLifeYears: 8,
        acquired: 'new',
        crash: {
          happened: false,
          drivable: true,
          nearestDoorUndamaged: true,
          noInjuries: true,
          noAirBags: true,
          noVisibleSeatDamage: true,
        },
        labelReadable: true,
        partsComplete: true,
        certified: true,
        recall: 'none',
        registered: true,
        ...seat,
      },
    ],
    vehicle: {
      lowerAnchorLimitKg: 40,
      positions: [
        {
          id: 'p1',
          row: 2,
          side: 'left',
          belt: 'lap-shoulder',
          lowerAnchors: true,
          tetherAnchor: true,
          frontAirBag: 'none',
          facing: 'forward',
        },
        { id: 'p2', row: 2 },
      ],
    },
    uses: [
      {
        childId: 'c1',
        seatId: 's1',
        positionId: 'p1',
        mode: stage,
        attachment: 'lower-anchors',
        beltPath: stage === 'forward-facing' ? 'forward-facing' : 'rear-facing',
        beltLocked: true,
        twisted: false,
        tether: 'attached',
        movementCm: 1,
        recline: 'in-range',
        headClearanceCm: 6,
        harness: {
          straps: 'at',
          pinchable: false,
          chestClip: 'armpit',
          bulkyClothing: false,
          addOnProduct: false,
          infantInsert: false,
        },
        beltFit: { lap: 'thighs', shoulder: 'chest' },
      },
    ],
  });
};

const LISTS: Readonly<Record<string, (tree: Tree) => Tree[]>> = {
  children: (tree) => tree.children as Tree[],
  seats: (tree) => tree.seats as Tree[],
  uses: (tree) => tree.uses as Tree[],
};

/** Sets a fact by its path, as `stillMatters` names it; undefined takes it away. */
const set = (tree: Tree, path: string, value: unknown): void => {
  const [first = '', ...rest] = path.split('.');
  let owner = tree;
  let keys = [first, ...rest];
  const list = LISTS[first];
  if (list) {
    const id = rest[0];
    owner = list(tree).find((each) => each.id === id || each.childId === id) as Tree;
    keys = rest.slice(1);
  } else if (first === 'vehicle' && rest[0] === 'positions') {
    owner = ((tree.vehicle as Tree).positions as Tree[]).find(({ id }) => id === rest[1]) as Tree;
    keys = rest.slice(2);
  }
  for (const key of keys.slice(0, -1)) {
    owner[key] ??= {};
    owner = owner[key] as Tree;
  }
  owner[keys.at(-1) as string] = structuredClone(value);
};

export type Changes = Readonly<Record<string, unknown>>;

/** A family with some facts changed, by path; throws where the case is no longer valid. */
export const family = (stage: Stage, changes: Changes = {}): Case => {
  const tree = base(stage);
  for (const [path, value] of Object.entries(changes)) set(tree, path, value);
  const result = parseCase(tree);
  if (!result.ok) throw new Error(`${result.error.path}: ${result.error.message}`);
  return result.case;
};
