import type { Case } from './case.ts';
import { STEP } from './fact-keys.ts';
import { positionFacts } from './facts.ts';
import type { JudgedChild } from './judged-child.ts';
import type { Probe } from './probe.ts';
import { NOTHING, rulesFor, tryAll } from './probe.ts';

const POSITION_KEYS = ['row', 'belt', 'lowerAnchors', 'tetherAnchor', 'frontAirBag', 'facing'] as const;
const FEEDS = STEP.law | STEP.anchors;
const RULES = rulesFor(POSITION_KEYS, FEEDS | STEP.advice);

/**
 * Tries the places a child whose position is not known may ride in: each position of the vehicle, and one that is not
 * listed, in row 1 or 2, with all else about it unknown.
 */
export const probePosition = (family: Case, child: JudgedChild, once = false): Probe => {
  const { facts } = child;
  if (facts.positionId !== null) return NOTHING;
  const listed = (family.vehicle?.positions ?? []).map(positionFacts);
  const unlisted = [1, 2].map((row) => ({ ...positionFacts(null), row }));
  const before = { rows: facts.rows, ...positionFacts(null) };
  return tryAll(
    child,
    {
      values: [
        ...listed.map((position) => ({ ...position, rows: before.rows })),
        ...unlisted.map((position) => ({ ...position, rows: [...before.rows, position.row] })),
      ],
      apply: (value) => Object.assign(facts, value),
      restore: () => Object.assign(facts, before),
      feeds: FEEDS,
      rules: RULES,
    },
    once,
  );
};
