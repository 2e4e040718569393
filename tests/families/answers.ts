import { factOf } from '#dialogs/facts.ts';
import type { Reply } from '#dialogs/reply.ts';
import type { Case, Child, Limits, RestraintMode, Seat, Use } from '#shared/case.ts';
import { cmToIn, kgToLb } from '#shared/units.ts';

/** What a caregiver sends: taps, or words where the answer is none of the choices. */
export interface Sent {
  readonly text: string;
  readonly choiceIds: readonly string[];
}

export const tap = (...choiceIds: readonly string[]): Sent => ({ text: '', choiceIds });
export const write = (text: string): Sent => ({ text, choiceIds: [] });

/** The family as its caregiver can tell it, and the question asked. */
interface Asked {
  readonly told: Case;
  /** When children still to be born are due, by id. */
  readonly due: Readonly<Record<string, string>>;
  readonly reply: Reply;
  readonly child: Child;
  readonly use: Use | undefined;
  readonly seat: Seat | undefined;
}

type Answer = (asked: Asked) => Sent;

const NAMES = ['Leo', 'Mia', 'Sam', 'Ada'];
export const nameOf = (child: string): string => NAMES[Number(child.slice(1)) - 1] ?? child;

const STATES: Readonly<Record<string, string>> = {
  'US-CA': 'California',
  'US-TX': 'Texas',
  'US-WA': 'Washington state',
  'US-FL': 'Florida',
  'US-IL': 'Illinois',
};

/** How a caregiver says a way of riding and a kind of seat in one breath. */
const MODE_WORDS: Readonly<Partial<Record<string, string>>> = {
  'rear-facing': 'rear-facing',
  'forward-facing': 'forward-facing with the harness',
  booster: 'on a booster',
};
const KIND_WORDS: Readonly<Record<string, string>> = {
  'rear-facing-only': 'a rear-facing only baby seat',
  convertible: 'a convertible seat',
  'all-in-one': 'an all-in-one seat',
  'forward-facing-harness': 'a forward-facing only harness seat',
  combination: 'a combination seat',
  booster: 'a booster only',
  vest: 'a vest',
  unknown: 'I do not know which seat',
};

const PLACE_WORDS: Readonly<Record<string, string>> = {
  p2L: 'behind the driver',
  p2C: 'in the middle of the back',
  p2R: 'behind the passenger',
  p1R: 'in front',
};
const HELD_WORDS: Readonly<Record<string, string>> = {
  'lower-anchors': 'with the lower anchors',
  'seat-belt': 'with the seat belt',
  both: 'with both the anchors and the seat belt',
  none: 'nothing holds it',
};

/** Whether the question itself invites to say more at once. */
const invites = ({ say }: Reply, wording: string): boolean => say.some(({ key }) => key === `question.${wording}`);

const UNSURE = tap('unsure');
const pounds = (kg: unknown): string => `${Math.round(kgToLb(kg as number) * 10) / 10}`;
const inches = (cm: unknown): string => `${Math.round(cmToIn(cm as number) * 10) / 10}`;

/** Ticks of a list: the ids whose sign shows, else "none of these". */
const ticks = (signs: Readonly<Record<string, boolean>>, { reply }: Asked): Sent => {
  const shown = reply.choices.map(({ id }) => id);
  const ids = Object.keys(signs).filter((id) => signs[id] && shown.includes(id));
  return tap(...(ids.length > 0 ? ids : ['none']));
};

/** Yes or no about a fact, or "I don't know". */
const flag = (value: unknown, yes: unknown = true): Sent =>
  value == null ? UNSURE : tap(value === yes ? 'yes' : 'no');

const choice = (value: unknown): Sent => (value == null ? UNSURE : tap(String(value)));

export const ageInWords = ({ ageMonths }: Child): string => (ageMonths === 0 ? '3 weeks' : `${ageMonths} months`);
export const weightInWords = ({ weightKg }: Child): string | null =>
  weightKg == null ? null : `${pounds(weightKg)} lb`;
export const heightInWords = ({ heightCm }: Child): string | null =>
  heightCm == null ? null : `${inches(heightCm)} in`;

const span = (min: unknown, max: unknown, unit: string, inWords: (value: unknown) => string): string[] =>
  max == null ? [] : [min == null ? `up to ${inWords(max)} ${unit}` : `${inWords(min)}-${inWords(max)} ${unit}`];

const limitsInWords = (limits: Limits): string =>
  [
    ...span(limits.minWeightKg, limits.maxWeightKg, 'lb', pounds),
    ...span(limits.minHeightCm, limits.maxHeightCm, 'in', inches),
    ...(limits.minAgeMonths == null ? [] : [`at least ${Number(limits.minAgeMonths) / 12} years old`]),
  ].join(', ');

const datesInWords = ({ manufactureDate, expiryDate, usefulLifeYears }: Seat): string =>
  [
    ...(manufactureDate == null ? [] : [`made ${manufactureDate}`]),
    ...(expiryDate == null ? [] : [`expires ${expiryDate}`]),
    ...(usefulLifeYears == null ? [] : [`good for ${usefulLifeYears} years`]),
  ].join(', ');

const placeFact = ({ told, use }: Asked, field: string): unknown =>
  use?.positionId ? factOf(told, `vehicle.positions.${use.positionId}.${field}`) : null;

const beltFit: Answer = (asked) => {
  const { lap, shoulder } = asked.use?.beltFit ?? {};
  return ticks(
    {
      'lap-on-belly': lap === 'belly',
      'on-neck': shoulder === 'neck',
      'off-shoulder': shoulder === 'off-shoulder',
      'behind-back': shoulder === 'behind-back',
      'under-arm': shoulder === 'under-arm',
    },
    asked,
  );
};

/** How a truthful caregiver answers each question, by its id. */
export const ANSWERS: Readonly<Record<string, Answer>> = {
  consent: () => tap('yes'),
  'child-count': ({ told }) => write(String(told.children.length)),
  'child-name': ({ child, told, reply }) =>
    write(invites(reply, 'child-names') ? told.children.map(({ id }) => nameOf(id)).join(', ') : nameOf(child.id)),
  age: ({ child, reply, due }) => {
    if (due[child.id]) return tap('unborn');
    const sizes = invites(reply, 'age-and-size') ? [weightInWords(child), heightInWords(child)] : [];
    return write([ageInWords(child), ...sizes].filter(Boolean).join(', '));
  },
  'due-date': ({ child, due }) => (due[child.id] ? write(due[child.id] as string) : UNSURE),
  weight: ({ child }) => (child.weightKg == null ? UNSURE : write(weightInWords(child) as string)),
  height: ({ child }) => (child.heightCm == null ? UNSURE : write(heightInWords(child) as string)),
  sex: ({ child }) => choice(child.sex),
  'care-needs': (asked) =>
    ticks({ 'born-early': asked.child.bornBeforeWeek37 === true, medical: asked.child.medicalNeeds === true }, asked),
  'riding-mode': ({ use, seat, reply }) => {
    const words = use?.mode && MODE_WORDS[use.mode];
    return words && seat?.kind && invites(reply, 'riding-mode-and-seat')
      ? write(`${words}, ${KIND_WORDS[seat.kind]}`)
      : choice(use?.mode);
  },
  'rides-upright': ({ child }) => flag(child.ridesUpright),
  'seat-kind': ({ seat }) => (seat ? choice(seat.kind) : tap('no-seat')),
  'label-limits': ({ seat, reply }) => {
    if (seat?.labelReadable === false) return tap('no-label');
    const limits = seat?.modes?.[reply.mode as RestraintMode];
    if (!limits) return UNSURE;
    if (reply.choices.some(({ id }) => id === 'no-such-limit')) return tap('no-such-limit');
    const dates = invites(reply, 'label-limits-and-dates') ? datesInWords(seat) : '';
    return write([limitsInWords(limits), dates].filter(Boolean).join(', '));
  },
  'seat-dates': ({ seat }) => (seat && datesInWords(seat) ? write(datesInWords(seat)) : tap('not-found')),
  'expiry-date': ({ seat }) =>
    seat?.expiryDate
      ? write(seat.expiryDate)
      : seat?.usefulLifeYears != null
        ? write(`${seat.usefulLifeYears} years`)
        : tap('not-found'),
  'seat-history': (asked) => {
    const { acquired, crash, labelReadable, partsComplete, recall, registered, certified } = asked.seat ?? {};
    return ticks(
      {
        new: acquired === 'new',
        'second-hand-known': acquired === 'known-second-hand',
        'second-hand-unknown': acquired === 'unknown-second-hand',
        crash: crash?.happened === true,
        'label-missing': labelReadable === false,
        'parts-missing': partsComplete === false,
        'recall-open': recall === 'open',
        'recall-unchecked': recall === 'unchecked',
        'not-registered': registered === false,
        'not-certified': certified === false,
      },
      asked,
    );
  },
  'crash-details': (asked) => {
    const crash = asked.seat?.crash;
    return ticks(
      {
        'not-drivable': crash?.drivable === false,
        'door-damaged': crash?.nearestDoorUndamaged === false,
        injuries: crash?.noInjuries === false,
        'air-bags-deployed': crash?.noAirBags === false,
        'seat-damaged': crash?.noVisibleSeatDamage === false,
      },
      asked,
    );
  },
  acquired: ({ seat }) => choice(seat?.acquired),
  crash: ({ seat }) => flag(seat?.crash?.happened),
  'label-readable': ({ seat }) => flag(seat?.labelReadable),
  'parts-complete': ({ seat }) => flag(seat?.partsComplete),
  recall: ({ seat }) => choice(seat?.recall),
  registered: ({ seat }) => flag(seat?.registered),
  certified: ({ seat }) => flag(seat?.certified),
  position: ({ use, reply }) => {
    const words = PLACE_WORDS[use?.positionId ?? ''];
    const held = HELD_WORDS[use?.attachment ?? ''];
    return words && held && invites(reply, 'position-and-attachment')
      ? write(`${words}, ${held}`)
      : choice(use?.positionId);
  },
  'front-air-bag': (asked) => choice(placeFact(asked, 'frontAirBag')),
  'rear-row': ({ told }) => flag((told.vehicle?.positions ?? []).some(({ row }) => (row ?? 0) > 1)),
  'vehicle-hardware': (asked) => {
    const belt = placeFact(asked, 'belt');
    if (belt == null) return UNSURE;
    return ticks(
      {
        'lap-only': belt === 'lap-only',
        inflatable: belt === 'inflatable',
        'side-facing': placeFact(asked, 'facing') === 'side',
        'no-lower-anchors': placeFact(asked, 'lowerAnchors') === false,
        'no-tether-anchor': placeFact(asked, 'tetherAnchor') === false,
      },
      asked,
    );
  },
  attachment: ({ use }) => choice(use?.attachment),
  'both-allowed': ({ seat }) => flag(seat?.bothAllowed),
  'borrowed-allowed': ({ seat }) => flag(seat?.borrowedAllowed),
  'lower-anchor-limit': ({ seat, reply }) => {
    const kg = seat?.lowerAnchorLimitKg?.[reply.mode as 'rear-facing'];
    return kg == null ? UNSURE : write(`${pounds(kg)} lb`);
  },
  'seat-weight': ({ seat }) => (seat?.massKg == null ? UNSURE : write(`${pounds(seat.massKg)} lb`)),
  'install-check': (asked) => {
    const { movementCm, beltPath, beltLocked, twisted, recline, mode } = asked.use ?? {};
    return ticks(
      {
        moves: Number(movementCm) > 2.54,
        'wrong-belt-path': beltPath != null && beltPath !== mode,
        'belt-unlocked': beltLocked === false,
        twisted: twisted === true,
        'too-upright': recline === 'too-upright',
        'too-reclined': recline === 'too-reclined',
      },
      asked,
    );
  },
  movement: ({ use }) => tap(Number(use?.movementCm) > 2.54 ? 'yes' : 'no'),
  'belt-path': ({ use }) => choice(use?.beltPath),
  'belt-locked': ({ use }) => flag(use?.beltLocked),
  twists: ({ use }) => flag(use?.twisted),
  recline: ({ use }) => choice(use?.recline),
  tether: ({ use }) => choice(use?.tether),
  'harness-check': (asked) => {
    const { harness, headClearanceCm } = asked.use ?? {};
    return ticks(
      {
        'straps-above': harness?.straps === 'above',
        'straps-below': harness?.straps === 'below',
        pinchable: harness?.pinchable === true,
        'clip-low': harness?.chestClip === 'low',
        'clip-high': harness?.chestClip === 'high',
        coat: harness?.bulkyClothing === true,
        insert: harness?.infantInsert === true,
        'add-on': harness?.addOnProduct === true,
        'head-near-top': headClearanceCm != null && Number(headClearanceCm) < 2.54,
      },
      asked,
    );
  },
  straps: ({ use }) => choice(use?.harness?.straps),
  pinch: ({ use }) => flag(use?.harness?.pinchable),
  'chest-clip': ({ use }) => choice(use?.harness?.chestClip),
  clothing: ({ use }) => flag(use?.harness?.bulkyClothing),
  insert: ({ use }) => flag(use?.harness?.infantInsert),
  'add-on': ({ use }) => flag(use?.harness?.addOnProduct),
  'head-clearance': ({ use }) => tap(Number(use?.headClearanceCm) >= 2.54 ? 'yes' : 'no'),
  'belt-check': beltFit,
  'belt-fit': (asked) => beltFit(asked),
  vehicle: ({ told, reply }) => {
    const car = `${told.vehicle?.modelYear} hatchback`;
    return write(invites(reply, 'vehicle-and-place') ? `${car}, ${STATES[told.jurisdiction ?? '']}` : car);
  },
  place: ({ told }) => write(STATES[told.jurisdiction ?? ''] ?? 'unsure'),
  contact: () => tap('skip'),
  confirm: () => tap('yes'),
};

/** The truthful answer to what stands on the screen; null where this caregiver knows no such question. */
export function answerTo(reply: Reply, told: Case, due: Readonly<Record<string, string>> = {}): Sent | null {
  const child = told.children.find(({ id }) => id === (reply.child ?? 'c1'));
  if (!child) throw new Error(`the conversation asks about ${reply.child}, whom the family does not have`);
  const use = told.uses.find(({ childId }) => childId === child.id);
  const seat = told.seats.find(({ id }) => id === child.id.replace('c', 's'));
  return ANSWERS[reply.asking ?? '']?.({ told, due, reply, child, use, seat }) ?? null;
}
