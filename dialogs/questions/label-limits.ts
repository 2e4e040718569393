import { type ModeInUse, RESTRAINT_MODES, type RestraintMode, type SeatKind } from '#shared/case.ts';
import { MODES_OF_KIND } from '#shared/mode-fit.ts';
import type { Facts } from '../facts.ts';
import {
  childOf,
  facts,
  perChild,
  type Question,
  questionKey,
  type Subject,
  seatFact,
  seatOf,
  UNSURE,
  type View,
} from './question.ts';
import { usesSeat } from './riding-mode.ts';
import { seatDates } from './seat-dates.ts';
import { hasLabel, hasSeat } from './seats.ts';

const LIMITS = ['minWeightKg', 'maxWeightKg', 'minHeightCm', 'maxHeightCm', 'minAgeMonths'] as const;

const limit = (subject: Subject, field: string): string => seatFact(childOf(subject), `modes.${subject.mode}.${field}`);

const maxima = (subject: Subject): readonly string[] => [limit(subject, 'maxWeightKg'), limit(subject, 'maxHeightCm')];

/** Of a seat of unknown kind only the way it is used tells what its label may say. */
const offers = (kind: SeatKind | null | undefined, mode: RestraintMode, inUse: ModeInUse | null): boolean =>
  kind == null || kind === 'unknown' ? mode === inUse || !usesSeat(inUse) : MODES_OF_KIND[kind].includes(mode);

/** Whether the limits of a mode could change a decision, each by itself or both together. */
const couldDecide = (subject: Subject, view: View): boolean => {
  const paths = maxima(subject);
  if (paths.every((path) => view.known(path))) return false;
  const all = (value: number): Facts => Object.fromEntries(paths.map((path) => [path, value]));
  return paths.some((path) => view.matters(path)) || view.decides(all(0.1), all(500));
};

/** The mode in use first, then the modes whose limits could still change a decision, most protective first. */
function modesToAsk(child: string, view: View): readonly RestraintMode[] {
  const inUse = view.modeOf(child);
  const kind = view.case.seats.find(({ id }) => id === seatOf(child))?.kind;
  return RESTRAINT_MODES.filter(
    (mode) => offers(kind, mode, inUse) && (mode === inUse || couldDecide({ child, mode }, view)),
  ).sort((a, b) => Number(b === inUse) - Number(a === inUse));
}

/** The limits printed on the seat for one way of using it; asked once more for a part still missing. */
export const labelLimits: Question = {
  id: 'label-limits',
  core: true,
  slot: null,
  numeric: true,
  deaf: ['weightKg', 'heightCm', 'ageMonths'],
  subjects: (view, child) =>
    perChild(hasSeat)(view, child).flatMap(({ child: c }) =>
      modesToAsk(c as string, view).map((mode) => ({ child: c as string, mode })),
    ),
  facts: maxima,
  invites: () => [seatDates],
  settled: (subject, view) => {
    const { times, unsure } = view.answered(questionKey(labelLimits, subject));
    return (
      unsure || times >= 2 || !hasLabel(childOf(subject), view) || maxima(subject).every((path) => view.known(path))
    );
  },
  choices: (subject, view) => (partial(subject, view) ? ['no-such-limit', 'unsure'] : ['no-label', 'unsure']),
  choose: ([id], subject, view) => {
    if (id === 'no-label') return { kind: 'unsure', facts: { [seatFact(childOf(subject), 'labelReadable')]: false } };
    if (id === 'no-such-limit')
      return facts(
        Object.fromEntries(
          maxima(subject)
            .filter((path) => !view.known(path))
            .map((path) => [path, null]),
        ),
      );
    return UNSURE;
  },
  hear: ({ limits, reading }, subject, view) => {
    const said: Record<string, Facts[string]> = {};
    for (const field of LIMITS) if (limits?.[field] !== undefined) said[limit(subject, field)] = limits[field];
    if (Object.keys(said).length > 0) return facts(said);
    if (limits?.noLimit || (partial(subject, view) && reading.values.answer === 'no'))
      return labelLimits.choose?.(['no-such-limit'], subject, view) ?? null;
    return reading.intent === 'unsure' ? UNSURE : null;
  },
  wording: (subject, view) => {
    if (partial(subject, view)) return `label-limits-${missing(subject, view)}`;
    return view.answered(questionKey(seatDates, { child: childOf(subject) })).times > 0
      ? 'label-limits'
      : 'label-limits-and-dates';
  },
};

const partial = (subject: Subject, view: View): boolean => view.answered(questionKey(labelLimits, subject)).times > 0;

const missing = (subject: Subject, view: View): string =>
  view.known(limit(subject, 'maxWeightKg')) ? 'height' : view.known(limit(subject, 'maxHeightCm')) ? 'weight' : 'again';
