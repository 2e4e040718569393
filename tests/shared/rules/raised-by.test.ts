import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { FindingCode } from '#shared/finding-codes.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { stillMatters } from '#shared/still-matters.ts';
import type { Changes, Stage } from './family.ts';
import { family } from './family.ts';

interface Example {
  readonly code: FindingCode;
  readonly stage: Stage;
  readonly changes: Changes;
  /** The facts the finding names. */
  readonly facts: readonly string[];
  /** Facts without which it is not raised, and could be. */
  readonly hinges?: readonly string[];
}

const rf = 'rear-facing';
const ff = 'forward-facing';
const label = (mode: string, name: string) => `seats.s1.modes.${mode}.${name}`;
const MINOR = ['drivable', 'nearestDoorUndamaged', 'noInjuries', 'noAirBags', 'noVisibleSeatDamage'];
const CRASH = ['happened', ...MINOR].map((name) => `seats.s1.crash.${name}`);

/** A seat finding that one fact alone raises. */
const seat = (code: FindingCode, name: string, value: unknown): Example => ({
  code,
  stage: rf,
  changes: { [`seats.s1.${name}`]: value },
  facts: [`seats.s1.${name}`],
  hinges: [`seats.s1.${name}`],
});

/** A finding that the mode in use and one fact raise. */
const seen = (code: FindingCode, stage: Stage, fact: string, value: unknown): Example => ({
  code,
  stage,
  changes: { [fact]: value },
  facts: ['uses.c1.mode', fact],
  hinges: ['uses.c1.mode', fact],
});

const EXAMPLES: readonly Example[] = [
  { code: 'unrestrained', stage: rf, changes: { 'uses.c1.mode': 'none' }, facts: ['uses.c1.mode'] },
  {
    code: 'mode-not-offered',
    stage: 'booster',
    changes: { 'seats.s1.kind': 'rear-facing-only', 'seats.s1.modes': {} },
    facts: ['uses.c1.mode', 'seats.s1.kind'],
    hinges: ['uses.c1.mode', 'seats.s1.kind'],
  },
  seen('seat-not-attached', rf, 'uses.c1.attachment', 'none'),
  {
    code: 'over-limit',
    stage: ff,
    changes: { [label(ff, 'maxWeightKg')]: 18, [label(ff, 'maxHeightCm')]: 110 },
    facts: ['children.c1.weightKg', label(ff, 'maxWeightKg'), 'children.c1.heightCm', label(ff, 'maxHeightCm')],
  },
  {
    code: 'over-limit',
    stage: rf,
    changes: {
      'children.c1.weightKg': 23,
      'children.c1.ageMonths': 70,
      'children.c1.heightCm': 40,
      [label(rf, 'maxWeightKg')]: null,
    },
    facts: ['children.c1.weightKg', 'uses.c1.mode'],
  },
  {
    code: 'over-limit',
    stage: rf,
    changes: {
      'children.c1.ageMonths': 70,
      'children.c1.weightKg': { min: 17, max: 23 },
      'children.c1.heightCm': 112,
    },
    facts: ['children.c1.heightCm', label(rf, 'maxHeightCm')],
  },
  {
    code: 'over-limit',
    stage: rf,
    changes: { 'children.c1.ageMonths': 150, 'children.c1.weightKg': undefined, 'children.c1.heightCm': undefined },
    facts: ['children.c1.ageMonths', label(rf, 'maxWeightKg'), label(rf, 'maxHeightCm')],
  },
  {
    code: 'under-minimum',
    stage: ff,
    changes: {
      [label(ff, 'minWeightKg')]: 20,
      [label(ff, 'minHeightCm')]: 112,
      [label(ff, 'minAgeMonths')]: 51,
    },
    facts: [
      'children.c1.weightKg',
      label(ff, 'minWeightKg'),
      'children.c1.heightCm',
      label(ff, 'minHeightCm'),
      'children.c1.ageMonths',
      label(ff, 'minAgeMonths'),
    ],
  },
  {
    code: 'forward-facing-too-soon',
    stage: ff,
    changes: { 'children.c1.ageMonths': 23, 'children.c1.weightKg': 12.5, 'children.c1.heightCm': 86 },
    facts: ['uses.c1.mode', 'children.c1.ageMonths'],
    hinges: ['uses.c1.mode', 'children.c1.ageMonths'],
  },
  {
    code: 'forward-facing-too-soon',
    stage: ff,
    changes: {
      'children.c1.ageMonths': 26,
      'children.c1.weightKg': 12,
      'children.c1.heightCm': 86,
      [label(ff, 'minWeightKg')]: null,
    },
    facts: ['uses.c1.mode', 'children.c1.weightKg'],
    hinges: ['children.c1.weightKg'],
  },
  {
    code: 'could-stay-rear-facing',
    stage: ff,
    changes: { 'children.c1.ageMonths': 30, 'children.c1.weightKg': 13, 'children.c1.heightCm': 90 },
    facts: [
      'uses.c1.mode',
      'children.c1.ageMonths',
      'children.c1.weightKg',
      'children.c1.heightCm',
      label(rf, 'maxWeightKg'),
      label(rf, 'maxHeightCm'),
    ],
    hinges: ['uses.c1.mode', label(rf, 'maxWeightKg'), label(rf, 'maxHeightCm')],
  },
  {
    code: 'booster-too-soon',
    stage: 'booster',
    changes: {
      'children.c1.ageMonths': 40,
      'children.c1.weightKg': 15,
      'children.c1.heightCm': 100,
      'children.c1.ridesUpright': false,
    },
    facts: ['uses.c1.mode', 'children.c1.weightKg', 'children.c1.ageMonths', 'children.c1.ridesUpright'],
    hinges: ['uses.c1.mode'],
  },
  {
    code: 'booster-too-soon',
    stage: 'booster',
    changes: { 'children.c1.ridesUpright': false },
    facts: ['uses.c1.mode', 'children.c1.ridesUpright'],
    hinges: ['uses.c1.mode', 'children.c1.ridesUpright'],
  },
  {
    code: 'could-stay-harnessed',
    stage: 'booster',
    changes: {
      'children.c1.ageMonths': 62,
      'children.c1.weightKg': 20,
      'children.c1.heightCm': 110,
      'seats.s1.kind': 'combination',
      'seats.s1.modes.forward-facing': { maxWeightKg: 29.48350405, maxHeightCm: 124.46 },
    },
    facts: [
      'uses.c1.mode',
      'children.c1.ageMonths',
      'children.c1.weightKg',
      'children.c1.heightCm',
      label(ff, 'maxWeightKg'),
      label(ff, 'maxHeightCm'),
    ],
    hinges: ['uses.c1.mode', label(ff, 'maxWeightKg'), label(ff, 'maxHeightCm')],
  },
  {
    code: 'belt-too-soon',
    stage: 'seat-belt',
    changes: { 'children.c1.heightCm': 140 },
    facts: ['uses.c1.mode', 'children.c1.ageMonths', 'children.c1.heightCm'],
    hinges: ['uses.c1.mode', 'children.c1.heightCm'],
  },
  {
    code: 'belt-too-soon',
    stage: 'seat-belt',
    changes: { 'children.c1.ageMonths': 95, 'children.c1.heightCm': 145 },
    facts: ['uses.c1.mode', 'children.c1.ageMonths'],
  },
  {
    code: 'outgrowing-soon',
    stage: rf,
    changes: { [label(rf, 'maxWeightKg')]: 11.5 },
    facts: ['children.c1.weightKg', 'children.c1.heightCm', label(rf, 'maxWeightKg'), label(rf, 'maxHeightCm')],
    hinges: ['uses.c1.mode', label(rf, 'maxWeightKg')],
  },
  seen('head-clearance-low', rf, 'uses.c1.headClearanceCm', 1),
  {
    code: 'center-anchors-borrowed',
    stage: rf,
    changes: { 'vehicle.positions.p1.lowerAnchors': false },
    facts: ['uses.c1.mode', 'uses.c1.attachment', 'vehicle.positions.p1.lowerAnchors', 'seats.s1.borrowedAllowed'],
    hinges: ['uses.c1.mode', 'uses.c1.attachment', 'vehicle.positions.p1.lowerAnchors'],
  },
  {
    code: 'seat-expired',
    stage: rf,
    changes: {
      'seats.s1.expiryDate': '2026-05-15',
      'seats.s1.manufactureDate': null,
      'seats.s1.usefulLifeYears': null,
    },
    facts: ['seats.s1.expiryDate'],
    hinges: ['seats.s1.expiryDate'],
  },
  {
    code: 'seat-expired',
    stage: rf,
    changes: { 'seats.s1.expiryDate': null, 'seats.s1.manufactureDate': '2018-05', 'seats.s1.usefulLifeYears': 8 },
    facts: ['seats.s1.manufactureDate', 'seats.s1.usefulLifeYears'],
    hinges: ['seats.s1.manufactureDate', 'seats.s1.usefulLifeYears'],
  },
  {
    code: 'seat-expires-soon',
    stage: rf,
    changes: { 'seats.s1.expiryDate': '2026-11-16' },
    facts: ['seats.s1.expiryDate', 'seats.s1.manufactureDate', 'seats.s1.usefulLifeYears'],
    hinges: ['seats.s1.expiryDate'],
  },
  {
    code: 'seat-crashed',
    stage: rf,
    changes: { 'seats.s1.crash.happened': true, 'seats.s1.crash.noAirBags': false },
    facts: CRASH,
    hinges: ['seats.s1.crash.happened', 'seats.s1.crash.noAirBags'],
  },
  {
    code: 'seat-crash-unclear',
    stage: rf,
    changes: { 'seats.s1.crash.happened': true, 'seats.s1.crash.drivable': null },
    facts: CRASH.filter((fact) => !fact.endsWith('drivable')),
    hinges: ['seats.s1.crash.happened'],
  },
  {
    code: 'seat-crash-minor',
    stage: rf,
    changes: { 'seats.s1.crash.happened': true },
    facts: CRASH,
    hinges: CRASH,
  },
  seat('seat-history-unknown', 'acquired', 'unknown-second-hand'),
  seat('seat-label-missing', 'labelReadable', false),
  seat('seat-parts-missing', 'partsComplete', false),
  seat('seat-not-certified', 'certified', false),
  seat('seat-recall-open', 'recall', 'open'),
  seat('seat-recall-unchecked', 'recall', 'unchecked'),
  seat('seat-not-registered', 'registered', false),
  {
    code: 'two-attachments',
    stage: rf,
    changes: { 'uses.c1.attachment': 'both' },
    facts: ['uses.c1.mode', 'uses.c1.attachment', 'seats.s1.bothAllowed'],
    hinges: ['uses.c1.mode', 'uses.c1.attachment'],
  },
  {
    code: 'lower-anchors-over-limit',
    stage: ff,
    changes: { 'children.c1.weightKg': 21 },
    facts: [
      'uses.c1.attachment',
      'children.c1.weightKg',
      'seats.s1.lowerAnchorLimitKg.forward-facing',
      'seats.s1.massKg',
      'vehicle.lowerAnchorLimitKg',
    ],
    hinges: ['uses.c1.mode', 'uses.c1.attachment', 'children.c1.weightKg'],
  },
  {
    code: 'lower-anchors-over-limit',
    stage: rf,
    changes: { 'children.c1.weightKg': 16, 'seats.s1.massKg': null, 'vehicle.lowerAnchorLimitKg': null },
    facts: ['uses.c1.attachment', 'children.c1.weightKg', 'seats.s1.lowerAnchorLimitKg.rear-facing'],
    hinges: ['seats.s1.lowerAnchorLimitKg.rear-facing'],
  },
  {
    code: 'tether-not-used',
    stage: ff,
    changes: { 'uses.c1.tether': 'not-attached' },
    facts: ['uses.c1.mode', 'uses.c1.tether', 'vehicle.positions.p1.tetherAnchor'],
    hinges: ['uses.c1.mode', 'uses.c1.tether'],
  },
  seen('no-tether-anchor', ff, 'vehicle.positions.p1.tetherAnchor', false),
  seen('loose-at-belt-path', rf, 'uses.c1.movementCm', 3),
  seen('wrong-belt-path', rf, 'uses.c1.beltPath', 'forward-facing'),
  seen('webbing-twisted', rf, 'uses.c1.twisted', true),
  {
    code: 'belt-not-locked',
    stage: rf,
    changes: { 'uses.c1.attachment': 'seat-belt', 'uses.c1.beltLocked': false },
    facts: ['uses.c1.mode', 'uses.c1.attachment', 'uses.c1.beltLocked'],
    hinges: ['uses.c1.mode', 'uses.c1.attachment', 'uses.c1.beltLocked'],
  },
  seen('recline-off', rf, 'uses.c1.recline', 'too-upright'),
  seen('rear-facing-at-air-bag', rf, 'vehicle.positions.p1.frontAirBag', 'active'),
  {
    code: 'child-in-front',
    stage: rf,
    changes: { 'vehicle.positions.p1.row': 1 },
    facts: ['vehicle.positions.p1.row', 'children.c1.ageMonths'],
    hinges: ['vehicle.positions.p1.row', 'vehicle.positions.p2.row', 'children.c1.ageMonths'],
  },
  seen('booster-lap-only', 'booster', 'vehicle.positions.p1.belt', 'lap-only'),
  seen('belt-fit-poor', 'booster', 'uses.c1.beltFit.lap', 'belly'),
  seen('belt-fit-poor', 'seat-belt', 'uses.c1.beltFit.shoulder', 'under-arm'),
  {
    code: 'side-facing-seat',
    stage: rf,
    changes: { 'vehicle.positions.p1.facing': 'rear' },
    facts: ['vehicle.positions.p1.facing'],
    hinges: ['vehicle.positions.p1.facing'],
  },
  {
    code: 'inflatable-belt',
    stage: rf,
    changes: { 'vehicle.positions.p1.belt': 'inflatable' },
    facts: ['vehicle.positions.p1.belt'],
    hinges: ['vehicle.positions.p1.belt'],
  },
  seen('straps-at-wrong-height', rf, 'uses.c1.harness.straps', 'above'),
  seen('straps-at-wrong-height', ff, 'uses.c1.harness.straps', 'below'),
  seen('harness-loose', rf, 'uses.c1.harness.pinchable', true),
  seen('chest-clip-off', ff, 'uses.c1.harness.chestClip', 'low'),
  seen('bulky-clothing', rf, 'uses.c1.harness.bulkyClothing', true),
  seen('insert-to-remove', ff, 'uses.c1.harness.infantInsert', true),
  seen('add-on-product', 'booster', 'uses.c1.harness.addOnProduct', true),
  {
    code: 'special-care',
    stage: rf,
    changes: {
      'children.c1.bornBeforeWeek37': true,
      'children.c1.ageMonths': 11,
      'children.c1.weightKg': 9,
      'children.c1.heightCm': 73,
    },
    facts: ['children.c1.bornBeforeWeek37', 'children.c1.ageMonths'],
    hinges: ['children.c1.bornBeforeWeek37', 'children.c1.ageMonths'],
  },
  {
    code: 'special-care',
    stage: rf,
    changes: { 'children.c1.medicalNeeds': true },
    facts: ['children.c1.medicalNeeds'],
    hinges: ['children.c1.medicalNeeds'],
  },
  {
    code: 'size-implausible',
    stage: rf,
    changes: { 'children.c1.weightKg': 30 },
    facts: ['children.c1.weightKg', 'children.c1.ageMonths'],
  },
  {
    code: 'size-implausible',
    stage: rf,
    changes: { 'children.c1.heightCm': 40 },
    facts: ['children.c1.heightCm', 'children.c1.ageMonths'],
  },
  {
    code: 'law-not-met',
    stage: rf,
    changes: { 'uses.c1.mode': 'seat-belt' },
    facts: ['jurisdiction', 'children.c1.ageMonths', 'children.c1.weightKg', 'children.c1.heightCm', 'uses.c1.mode'],
    hinges: ['jurisdiction', 'uses.c1.mode'],
  },
  {
    code: 'law-not-met',
    stage: rf,
    changes: { 'vehicle.positions.p1.row': 1 },
    facts: [
      'jurisdiction',
      'children.c1.ageMonths',
      'children.c1.weightKg',
      'children.c1.heightCm',
      'vehicle.positions.p1.row',
    ],
    hinges: ['vehicle.positions.p1.row'],
  },
];

const codesOf = (example: Example, changes: Changes = {}) =>
  assess(family(example.stage, { ...example.changes, ...changes })).findings.map(({ code }) => code);

describe('a finding', () => {
  it('has an example below for every code', () => {
    const shown = new Set(EXAMPLES.map(({ code }) => code));
    expect(FINDING_CODES.filter((code) => !shown.has(code))).toEqual([]);
  });

  it.each(['rear-facing', 'forward-facing', 'booster', 'seat-belt'] as const)(
    'is not raised about a child %s with nothing wrong',
    (stage) => {
      expect(assess(family(stage)).findings).toEqual([]);
    },
  );

  it.each(EXAMPLES)('$code names the facts that raised it ($facts.0)', ({ code, stage, changes, facts }) => {
    const finding = assess(family(stage, changes)).findings.find((each) => each.code === code);
    expect(finding?.facts.toSorted()).toEqual([...facts].sort());
  });

  const hinges = EXAMPLES.flatMap((example) => (example.hinges ?? []).map((fact) => ({ ...example, fact, example })));

  it.each(hinges)('$code is open while $fact is unknown', ({ code, stage, changes, fact, example }) => {
    const open = family(stage, { ...changes, [fact]: undefined });
    expect(codesOf(example, { [fact]: undefined })).not.toContain(code);
    expect(assess(open).unknowns.find((unknown) => unknown.fact === fact)?.couldRaise).toContain(code);
    expect(stillMatters(open, fact)).toBe(true);
  });
});
