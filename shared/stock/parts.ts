import type { Case, Use } from '#shared/case.ts';
import type { Source, SourceId } from '#shared/parameters/sources.ts';
import { isHarnessed } from '#shared/rules/rule.ts';
import { expectedHardware, type HardwareItem } from '#shared/vehicle/hardware.ts';
import type { Bounds } from './odds.ts';
import { isPossible, NEVER, PERHAPS, SURELY } from './odds.ts';

export const PARTS = [
  'locking-clip',
  'rolled-towel',
  'registration-form',
  'tether-anchor',
  'recall-remedy',
  'replacement-part',
] as const;
export type Part = (typeof PARTS)[number];

export interface AboutPart {
  readonly basis: Source['kind'];
  /** Empty where it is a custom of the trade without an entry among the sources. */
  readonly sources: readonly SourceId[];
  /** Ordered for one family from a maker, before the event; else kept in stock. */
  readonly ordered: boolean;
}

export const ABOUT_PARTS: Readonly<Record<Part, AboutPart>> = {
  'locking-clip': { basis: 'common practice', sources: ['S-080', 'S-085', 'S-192'], ordered: false },
  // Whether the seat's manual allows it is for the technician to read.
  'rolled-towel': { basis: 'common practice', sources: ['S-184'], ordered: false },
  'registration-form': { basis: 'rule', sources: ['S-038', 'S-039'], ordered: false },
  'tether-anchor': { basis: 'common practice', sources: ['S-069', 'S-073'], ordered: true },
  'recall-remedy': { basis: 'rule', sources: ['S-039', 'S-134'], ordered: true },
  'replacement-part': { basis: 'guidance', sources: ['S-134'], ordered: true },
};

export interface PartNeed {
  readonly part: Part;
  readonly odds: Bounds;
}

/** A vehicle that must have it is not asked again; any other may lack it, and nothing says how often. */
const lacking = (family: Case, item: HardwareItem): Bounds => {
  const year = family.vehicle?.modelYear;
  return year != null && expectedHardware(year)[item].expectation === 'expected' ? NEVER : PERHAPS;
};

const ofUse = (family: Case, use: Use): readonly PartNeed[] => {
  const mode = use.mode ?? null;
  if (!isHarnessed(mode)) return [];
  const position = family.vehicle?.positions?.find(({ id }) => id === use.positionId);
  const byBelt = use.attachment == null || use.attachment === 'seat-belt' || use.attachment === 'both';
  const anchor = position?.tetherAnchor;
  const towel = use.recline === 'too-upright' || use.recline == null;
  return [
    { part: 'locking-clip', odds: byBelt && use.beltLocked !== true ? lacking(family, 'lockableBelts') : NEVER },
    { part: 'rolled-towel', odds: mode === 'rear-facing' && towel ? PERHAPS : NEVER },
    {
      part: 'tether-anchor',
      odds:
        mode !== 'forward-facing' || anchor === true
          ? NEVER
          : anchor === false
            ? SURELY
            : lacking(family, 'tetherAnchors'),
    },
  ];
};

/** Parts that a family may need, for the seats as they are used now and for the seats themselves. */
export const partNeeds = (family: Case): readonly PartNeed[] =>
  [
    ...family.uses.flatMap((use) => ofUse(family, use)),
    ...family.seats.flatMap(({ registered, recall, partsComplete }): PartNeed[] => [
      { part: 'registration-form', odds: registered === false ? SURELY : registered == null ? PERHAPS : NEVER },
      { part: 'recall-remedy', odds: recall === 'open' ? SURELY : NEVER },
      { part: 'replacement-part', odds: partsComplete === false ? SURELY : NEVER },
    ]),
  ].filter(({ odds }) => isPossible(odds));
