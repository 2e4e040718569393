import type { Urgency } from '#shared/assessment.ts';
import type { ModeInUse } from '#shared/case.ts';
import type { FactKey } from '#shared/fact-keys.ts';
import type { ChildFacts } from '#shared/facts.ts';
import type { FindingCode } from '#shared/finding-codes.ts';
import type { Judgement } from '#shared/judgement.ts';
import type { ParameterId } from '#shared/parameters/parameters.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import type { SeatFactKey, SeatFacts } from '#shared/seat-facts.ts';

/** What every rule states about itself as data; sources empty means common practice without an entry of its own. */
interface About {
  readonly code: FindingCode;
  /** Every urgency it can have, the highest first. */
  readonly urgencies: readonly Urgency[];
  readonly sources: readonly SourceId[];
  readonly parameters?: readonly ParameterId[];
}

/** A rule about one child; its finding holds in every completion of the facts, or is not raised. */
export interface ChildRule extends About {
  /** Which ids its finding carries: the child alone, the child and the seat of its use, or the position as well. */
  readonly subject: 'child' | 'use' | 'position';
  /** Facts `when` reads itself; those known are named by the finding unless `because` picks among them. */
  readonly reads: readonly FactKey[];
  /** Steps of the judgement that `when` reads, as STEP bits. */
  readonly steps?: number;
  readonly when: (facts: ChildFacts, judgement: Judgement) => Urgency | null;
  readonly because?: (facts: ChildFacts, judgement: Judgement) => readonly FactKey[];
}

/** A rule about a seat, whoever uses it. */
export interface SeatRule extends About {
  readonly reads: readonly SeatFactKey[];
  readonly when: (facts: SeatFacts) => Urgency | null;
}

export const NOW = 'before-next-trip';
export const VISIT = 'at-the-visit';
export const PLAN = 'plan-ahead';

interface Observation extends Pick<About, 'code' | 'sources'> {
  readonly urgency: Urgency;
  readonly fact: FactKey;
  /** Values of the fact that are wrong. */
  readonly wrong: readonly unknown[];
  /** Modes in use in which it is wrong. */
  readonly modes: readonly ModeInUse[];
  readonly subject?: ChildRule['subject'];
}

/** A rule about one thing that can be seen: wrong in some modes wherever the fact has a wrong value. */
export const observed = ({ code, urgency, sources, fact, wrong, modes, subject = 'use' }: Observation): ChildRule => ({
  code,
  urgencies: [urgency],
  sources,
  subject,
  reads: ['mode', fact],
  when: (facts) =>
    facts.mode !== null && modes.includes(facts.mode) && wrong.includes(facts[fact as keyof ChildFacts])
      ? urgency
      : null,
});

export const HARNESSED: readonly ModeInUse[] = ['rear-facing', 'forward-facing'];
export const BELTED: readonly ModeInUse[] = ['booster', 'seat-belt'];

export const isHarnessed = (mode: ModeInUse | null): mode is 'rear-facing' | 'forward-facing' =>
  mode === 'rear-facing' || mode === 'forward-facing';

export const isRestraint = (mode: ModeInUse | null): mode is 'rear-facing' | 'forward-facing' | 'booster' =>
  isHarnessed(mode) || mode === 'booster';
