import type { Case, Measure, RestraintMode } from '#shared/case.ts';
import { ageSpan, implausible, spanOf } from '../oracle/grids.ts';
import { plausibleRange, type Quantity, type Sex } from '../oracle/growth.ts';
import { IN, kindHas, LB, MODES } from '../oracle/point.ts';

/** Every fact of a one-child case by its path, and the exact values it can have as the case stands. */
export interface FactValues {
  readonly path: string;
  readonly values: readonly unknown[];
}

type Tree = Record<string, unknown>;

const list = (kase: Case, name: string): readonly Tree[] =>
  name === 'vehicle.positions' ? ((kase.vehicle?.positions ?? []) as Tree[]) : ((kase as Tree)[name] as Tree[]);

/** Where a path starts: the object that carries the fact, and the keys below it. */
function locate(kase: Case, path: string): { owner: Tree; keys: string[] } {
  const parts = path.split('.');
  if (path.startsWith('vehicle.positions.')) {
    const owner = list(kase, 'vehicle.positions').find(({ id }) => id === parts[2]);
    return { owner: owner as Tree, keys: parts.slice(3) };
  }
  if (parts[0] === 'vehicle') return { owner: kase.vehicle as Tree, keys: parts.slice(1) };
  const id = parts[0] === 'uses' ? 'childId' : 'id';
  const owner = list(kase, parts[0] as string).find((entry) => entry[id] === parts[1]);
  return { owner: owner as Tree, keys: parts.slice(2) };
}

export function factAt(kase: Case, path: string): unknown {
  const { owner, keys } = locate(kase, path);
  return keys.reduce<unknown>((at, key) => (at as Tree | null | undefined)?.[key], owner);
}

/** The same case with one fact set. */
export function withFact(kase: Case, path: string, value: unknown): Case {
  const copy = structuredClone(kase);
  const { owner, keys } = locate(copy, path);
  const last = keys.pop() as string;
  const at = keys.reduce((here, key) => {
    here[key] ??= {};
    return here[key] as Tree;
  }, owner);
  at[last] = value;
  return copy;
}

const EPSILON = 1e-4;
const POUNDS = [2, 4, 5, 20, 26.5, 30, 35, 38, 40, 45, 48, 50, 55, 60, 65, 80, 90, 100].map((pounds) => pounds * LB);
const INCHES = [1, 19, 32, 38, 40, 43, 49, 50, 57, 60, 63, 65].map((inches) => inches * IN);

function grid(min: number, max: number, critical: readonly number[], steps: number): number[] {
  const even = Array.from({ length: steps + 1 }, (_, i) => min + ((max - min) * i) / steps);
  const values = [...even, ...critical.flatMap((c) => [c - EPSILON, c, c + EPSILON])];
  return [...new Set(values.filter((value) => value >= min && value <= max))];
}

const ends = (value: unknown): number[] => {
  const span = spanOf((value ?? null) as Measure);
  return span ? [span.min, span.max] : [];
};

const isOpen = (value: unknown): boolean =>
  value == null ||
  (typeof value === 'object' && (value as { min: number; max: number }).min !== (value as { max: number }).max);

/** Whether a size is open though it was stated: one that is not plausible counts as absent. */
const isOdd = (kase: Case, quantity: Quantity): boolean => {
  const child = kase.children[0];
  return child !== undefined && child.sizeConfirmed !== true && implausible(child, kase.asOf, quantity);
};

/** The sizes a child can have: the stated range, else the plausible ones for each possible age and sex. */
function sizes(kase: Case, quantity: Quantity, critical: readonly number[]): number[] {
  const child = kase.children[0];
  const [min, max] = isOdd(kase, quantity) ? [] : ends(quantity === 'weight' ? child?.weightKg : child?.heightCm);
  if (min !== undefined && max !== undefined) return grid(min, max, critical, 40);
  const ages = child ? ageSpan(child, kase.asOf) : null;
  if (!ages) return grid(0, 300, critical, 40);
  const sexes: readonly Sex[] = child?.sex ? [child.sex] : ['female', 'male'];
  const values = sexes.flatMap((sex) =>
    Array.from({ length: ages.max - ages.min + 1 }, (_, i) => plausibleRange(quantity, sex, ages.min + i)).flatMap(
      (range) => (range ? grid(range.min, range.max, critical, 20) : grid(0, 300, critical, 20)),
    ),
  );
  return [...new Set(values)];
}

const LIMITS = ['minWeightKg', 'maxWeightKg', 'minHeightCm', 'maxHeightCm'] as const;
const flag = [true, false];

const CHILD = {
  sizeConfirmed: flag,
  ridesUpright: flag,
  bornBeforeWeek37: flag,
  medicalNeeds: flag,
  sex: ['female', 'male'],
};
const USE = {
  mode: ['rear-facing', 'forward-facing', 'booster', 'seat-belt', 'lap-held', 'none'],
  attachment: ['lower-anchors', 'seat-belt', 'both', 'none'],
  beltPath: ['rear-facing', 'forward-facing'],
  beltLocked: flag,
  twisted: flag,
  tether: ['attached', 'not-attached'],
  recline: ['in-range', 'too-upright', 'too-reclined'],
  'harness.straps': ['below', 'at', 'above'],
  'harness.pinchable': flag,
  'harness.chestClip': ['armpit', 'low', 'high'],
  'harness.bulkyClothing': flag,
  'harness.addOnProduct': flag,
  'harness.infantInsert': flag,
  'beltFit.lap': ['thighs', 'belly'],
  'beltFit.shoulder': ['chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm'],
  movementCm: [0, 2.54, 2.5401, 10],
  headClearanceCm: [0, 2.5399, 2.54, 10],
};
const POSITION = {
  row: [1, 2, 3],
  belt: ['lap-shoulder', 'lap-only', 'inflatable'],
  lowerAnchors: flag,
  tetherAnchor: flag,
  frontAirBag: ['active', 'off', 'none'],
  facing: ['forward', 'side', 'rear'],
};
const DATES = [
  '2000',
  '2015-06',
  '2018-05-15',
  '2018-05-16',
  '2018-05-17',
  '2018-12',
  '2020-05-15',
  '2020-05-16',
  '2020-05-17',
];
const SEAT = {
  kind: ['rear-facing-only', 'convertible', 'all-in-one', 'forward-facing-harness', 'combination', 'booster', 'vest'],
  bothAllowed: flag,
  borrowedAllowed: flag,
  acquired: ['new', 'known-second-hand', 'unknown-second-hand'],
  'crash.happened': flag,
  'crash.drivable': flag,
  'crash.nearestDoorUndamaged': flag,
  'crash.noInjuries': flag,
  'crash.noAirBags': flag,
  'crash.noVisibleSeatDamage': flag,
  labelReadable: flag,
  partsComplete: flag,
  certified: flag,
  recall: ['none', 'open', 'remedied', 'unchecked'],
  registered: flag,
  manufactureDate: [...DATES, '2020-11-16', '2020-11-17', '2024-01', '2026-05'],
  expiryDate: ['2020', '2026-05-15', '2026-05-16', '2026-11-16', '2026-11-17', '2040'],
  usefulLifeYears: [0, 1, 2, 4, 5, 6, 7, 8, 9, 10, 20, 50],
};

/** Choices, or the part of them that lies in the range the case gives. */
function within(value: unknown, choices: readonly unknown[]): readonly unknown[] {
  const [min, max] = ends(typeof value === 'object' ? value : null);
  if (min === undefined || max === undefined) return choices;
  const inside = choices.filter((choice) => typeof choice === 'number' && choice >= min && choice <= max);
  return [...new Set([min, max, ...inside])];
}

/** Every fact of the case that is not exact, with its exact values. */
export function openFacts(kase: Case): FactValues[] {
  const use = kase.uses[0];
  const seat = kase.seats.find(({ id }) => id === use?.seatId);
  const child = kase.children[0];
  const label = (mode: RestraintMode, names: readonly (typeof LIMITS)[number][]) =>
    names.flatMap((name) => ends(seat?.modes?.[mode]?.[name]));
  const pounds = [
    ...MODES.flatMap((mode) => label(mode, ['minWeightKg', 'maxWeightKg'])).flatMap((kg) => [kg, kg - 2 * LB]),
    ...ends(seat?.lowerAnchorLimitKg?.['rear-facing']),
    ...ends(seat?.lowerAnchorLimitKg?.['forward-facing']),
    ...ends(kase.vehicle?.lowerAnchorLimitKg),
    ...ends(seat?.massKg).flatMap((mass) => [60 * LB - mass, 65 * LB - mass]),
    ...ends(seat?.massKg).flatMap((mass) => ends(kase.vehicle?.lowerAnchorLimitKg).map((kg) => kg - mass)),
  ];
  const inches = MODES.flatMap((mode) => label(mode, ['minHeightCm', 'maxHeightCm'])).flatMap((cm) => [cm, cm - IN]);
  const weights = ends(child?.weightKg);
  const heights = ends(child?.heightCm);
  const out: FactValues[] = [];
  const add = (path: string, values: readonly unknown[]) => {
    const value = factAt(kase, path);
    const none = value === null && /\.modes\./.test(path);
    if (isOpen(value) && !none) out.push({ path, values: within(value, values) });
  };
  const all = (prefix: string, facts: Readonly<Record<string, readonly unknown[]>>) => {
    for (const [name, values] of Object.entries(facts)) add(`${prefix}.${name}`, values);
  };
  all('children.c1', {
    ...CHILD,
    ...(child?.birthDate == null && { ageMonths: Array.from({ length: 260 }, (_, i) => i) }),
  });
  for (const [quantity, name, critical] of [
    ['weight', 'weightKg', [...POUNDS, ...pounds]],
    ['height', 'heightCm', [...INCHES, ...inches]],
  ] as const)
    if (isOpen(child?.[name]) || isOdd(kase, quantity))
      out.push({ path: `children.c1.${name}`, values: sizes(kase, quantity, critical) });
  if (use) all('uses.c1', USE);
  if (use?.positionId) all(`vehicle.positions.${use.positionId}`, POSITION);
  if (kase.vehicle) add('vehicle.lowerAnchorLimitKg', grid(0, 500, [...POUNDS, ...weights, ...pounds], 10));
  if (!seat) return out;
  all('seats.s1', {
    ...SEAT,
    massKg: grid(0, 500, [...weights.flatMap((kg) => [60 * LB - kg, 65 * LB - kg])], 10),
    'lowerAnchorLimitKg.rear-facing': grid(0, 500, [...POUNDS, ...weights], 6),
    'lowerAnchorLimitKg.forward-facing': grid(0, 500, [...POUNDS, ...weights], 6),
  });
  for (const mode of MODES.filter((name) => seat.modes?.[name] || kindHas(seat, name) !== false)) {
    add(`seats.s1.modes.${mode}.minAgeMonths`, [...Array.from({ length: 261 }, (_, i) => i), null]);
    for (const name of LIMITS) {
      const own = name.endsWith('Kg')
        ? weights.flatMap((kg) => [kg, kg + 2 * LB])
        : heights.flatMap((cm) => [cm, cm + IN]);
      const figures = grid(
        0,
        name.endsWith('Kg') ? 500 : 300,
        [...(name.endsWith('Kg') ? POUNDS : INCHES), ...own],
        40,
      );
      add(`seats.s1.modes.${mode}.${name}`, [...figures, null]);
    }
  }
  return out;
}
