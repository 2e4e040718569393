import { age } from './age.ts';
import { attachment, borrowedAllowed, bothAllowed } from './attachment.ts';
import { beltCheck } from './belt-check.ts';
import { careNeeds } from './care-needs.ts';
import { childCount } from './child-count.ts';
import { childName } from './child-name.ts';
import { crashDetails } from './crash-details.ts';
import { dueDate } from './due-date.ts';
import { expiryDate } from './expiry-date.ts';
import { harnessCheck } from './harness-check.ts';
import { height } from './height.ts';
import { installCheck } from './install-check.ts';
import { labelLimits } from './label-limits.ts';
import { lowerAnchorLimit } from './lower-anchor-limit.ts';
import { place } from './place.ts';
import { frontAirBag, position, rearRow } from './position.ts';
import type { Question } from './question.ts';
import { ridesUpright } from './rides-upright.ts';
import { ridingMode } from './riding-mode.ts';
import { sameSeat } from './same-seat.ts';
import { seatDates } from './seat-dates.ts';
import { seatHistory } from './seat-history.ts';
import { seatKind } from './seat-kind.ts';
import { seatWeight } from './seat-weight.ts';
import { sex } from './sex.ts';
import { BELT_FOLLOW_UPS, HARNESS_FOLLOW_UPS, INSTALL_FOLLOW_UPS, SEAT_FOLLOW_UPS } from './single-facts.ts';
import { tether } from './tether.ts';
import { vehicle } from './vehicle.ts';
import { vehicleHardware } from './vehicle-hardware.ts';
import { weight } from './weight.ts';

export interface Block {
  /** Asked once, or all of it for one child before the next. */
  readonly per: 'family' | 'child';
  readonly questions: readonly Question[];
}

/** The order in which questions come, phase by phase (conversation.md). A new question goes into its place here. */
export const BLOCKS: readonly Block[] = [
  { per: 'family', questions: [childCount] },
  { per: 'child', questions: [childName, age, dueDate, weight, height, sex, careNeeds, ridingMode] },
  {
    per: 'child',
    questions: [
      sameSeat,
      seatKind,
      labelLimits,
      ridesUpright,
      seatDates,
      expiryDate,
      seatHistory,
      crashDetails,
      ...SEAT_FOLLOW_UPS,
      position,
      frontAirBag,
      rearRow,
      vehicleHardware,
      attachment,
      bothAllowed,
      borrowedAllowed,
      lowerAnchorLimit,
      seatWeight,
      installCheck,
      ...INSTALL_FOLLOW_UPS,
      tether,
      harnessCheck,
      ...HARNESS_FOLLOW_UPS,
      beltCheck,
      ...BELT_FOLLOW_UPS,
    ],
  },
  { per: 'family', questions: [vehicle, place] },
];

export const QUESTIONS: readonly Question[] = BLOCKS.flatMap((block) => block.questions);
