import type { FindingCode } from '#shared/finding-codes.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { ATTACHMENT_RULES } from './attachment.ts';
import { BOOSTER_RULES } from './booster.ts';
import { CARE_RULES } from './care.ts';
import { FORWARD_FACING_RULES } from './forward-facing.ts';
import { HARNESS_RULES } from './harness.ts';
import { LAW_RULES } from './law.ts';
import { LIMIT_RULES } from './limits.ts';
import { OUTGROWING_RULES } from './outgrowing.ts';
import { POSITION_RULES } from './position.ts';
import { RIDING_MODE_RULES } from './riding-mode.ts';
import type { ChildRule, SeatRule } from './rule.ts';
import { SEAT_BELT_RULES } from './seat-belt.ts';
import { SEAT_CONDITION_RULES } from './seat-condition.ts';
import { SEAT_HISTORY_RULES } from './seat-history.ts';
import { TETHER_RULES } from './tether.ts';

/** Place of a code in the table of findings. */
export const codeOrder = (code: FindingCode): number => FINDING_CODES.indexOf(code);

const inOrder = <T extends { code: FindingCode }>(rules: readonly T[]): readonly T[] =>
  [...rules].sort((a, b) => codeOrder(a.code) - codeOrder(b.code));

/** The rules by family; each family stands in the file of its name. */
export const RULE_FAMILIES = {
  'riding-mode': RIDING_MODE_RULES,
  limits: LIMIT_RULES,
  outgrowing: OUTGROWING_RULES,
  'forward-facing': FORWARD_FACING_RULES,
  booster: BOOSTER_RULES,
  'seat-belt': SEAT_BELT_RULES,
  attachment: ATTACHMENT_RULES,
  tether: TETHER_RULES,
  position: POSITION_RULES,
  harness: HARNESS_RULES,
  care: CARE_RULES,
  law: LAW_RULES,
  'seat-condition': SEAT_CONDITION_RULES,
  'seat-history': SEAT_HISTORY_RULES,
} as const satisfies Readonly<Record<string, readonly (ChildRule | SeatRule)[]>>;

const { 'seat-condition': seatCondition, 'seat-history': seatHistory, ...ofChildren } = RULE_FAMILIES;

export const CHILD_RULES: readonly ChildRule[] = inOrder(Object.values(ofChildren).flat());
export const SEAT_RULES: readonly SeatRule[] = inOrder([...seatCondition, ...seatHistory]);

/** Every rule by the code of its finding. */
export const RULES: ReadonlyMap<FindingCode, ChildRule | SeatRule> = new Map(
  [...CHILD_RULES, ...SEAT_RULES].map((rule) => [rule.code, rule]),
);
