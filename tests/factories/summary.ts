import type { Assessment } from '#shared/assessment.ts';
import type { Case } from '#shared/case.ts';
import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';

const FAMILY: Case = {
  asOf: '2026-05-16',
  jurisdiction: 'US-CA',
  children: [{ id: 'c1', name: 'Wren', ageMonths: 26, weightKg: 12.3, heightCm: { min: 84, max: 88 } }],
  seats: [{ id: 's1', description: 'the grey one', kind: 'convertible' }],
  vehicle: { modelYear: 2014, positions: [{ id: 'p2R', row: 2, side: 'right', belt: 'lap-shoulder' }] },
  uses: [{ childId: 'c1', seatId: 's1', positionId: 'p2R', mode: 'forward-facing', attachment: 'seat-belt' }],
};

const ASSESSMENT: Assessment = {
  children: [
    {
      childId: 'c1',
      advice: {
        mode: 'rear-facing',
        certainty: 'provisional',
        candidates: ['rear-facing', 'forward-facing'],
        needs: ['seats.s1.modes.rear-facing.maxWeightKg'],
        seatChange: false,
        verify: [],
      },
      modes: {
        'rear-facing': { status: 'unknown' },
        'forward-facing': { status: 'too-small', because: ['weight'] },
        booster: { status: 'not-offered' },
      },
      growth: { weightZ: 0.1, heightZ: { min: -1, max: 0.4 }, reference: 'CDC 2000' },
      forecast: [{ mode: 'rear-facing', limit: 'weight', earliest: '2027-05', likely: '2028-01', latest: null }],
      law: { status: 'unknown', clauses: [] },
    },
  ],
  uses: [
    {
      childId: 'c1',
      seatId: 's1',
      lowerAnchors: 'unknown',
      seatBelt: 'allowed',
      tether: 'unknown',
      lowerAnchorLimitKg: null,
    },
  ],
  findings: [
    {
      code: 'tether-not-used',
      urgency: 'at-the-visit',
      childId: 'c1',
      seatId: 's1',
      positionId: 'p2R',
      facts: ['uses.c1.tether'],
      sources: ['S-012'],
    },
  ],
  unknowns: [{ fact: 'seats.s1.expiryDate', couldRaise: ['seat-expired', 'seat-expires-soon'] }],
  visit: { minutes: 34, priority: 'routine', skills: [], bring: ['child', 'seat', 'seat-manual', 'vehicle-manual'] },
};

/** One valid summary of an invented family; a test overrides only what it is about. */
export function aSummary(over: Partial<PreVisitSummary> = {}): PreVisitSummary {
  return preVisitSummarySchema.parse({
    reference: 'KV7-2QM',
    createdAt: '2026-05-16T09:30:00.000Z',
    language: 'en',
    channel: 'direct-line',
    complete: true,
    person: false,
    event: null,
    case: FAMILY,
    assessment: ASSESSMENT,
    caregiverWords: [{ asking: 'age', text: 'two and a bit', values: { ageMonths: [26, 26] } }],
    verifyFirst: ['seats.s1.expiryDate'],
    notes: '',
    ...over,
  });
}

/** The same summary with another visit priority. */
export const withPriority = (
  priority: Assessment['visit']['priority'],
  over: Partial<PreVisitSummary> = {},
): PreVisitSummary => aSummary({ assessment: { ...ASSESSMENT, visit: { ...ASSESSMENT.visit, priority } }, ...over });
