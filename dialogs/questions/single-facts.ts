import { factOf } from '../facts.ts';
import { usesSeatBelt } from './attachment.ts';
import { CLEAR_OF_TOP, NEAR_TOP } from './harness-check.ts';
import { MOVES, STAYS } from './install-check.ts';
import {
  childOf,
  facts,
  perChild,
  type Question,
  type Subject,
  seatFact,
  UNSURE,
  useFact,
  type View,
} from './question.ts';
import { harnessed, hasSeat, seatMode } from './seats.ts';
import { yesNo } from './yes-no.ts';

const rearFacing = (child: string, view: View): boolean => seatMode(child, view) === 'rear-facing';
const forwardFacing = (child: string, view: View): boolean => seatMode(child, view) === 'forward-facing';
const onBelt = (child: string, view: View): boolean => ['booster', 'seat-belt'].includes(String(view.modeOf(child)));

/** A follow-up about one fact with a fixed set of answers. */
const oneOf = (
  id: string,
  applies: (child: string, view: View) => boolean,
  fact: (child: string) => string,
  answers: readonly string[],
): Question => ({
  id,
  slot: null,
  words: id,
  subjects: perChild(applies),
  facts: (subject: Subject) => [fact(childOf(subject))],
  choices: () => [...answers, 'unsure'],
  choose: ([answer], subject) => (answer === 'unsure' ? UNSURE : facts({ [fact(childOf(subject))]: answer as string })),
});

const seatYesNo = (id: string, field: string) =>
  yesNo({ id, subjects: perChild(hasSeat), fact: (child) => seatFact(child, field), yes: true, no: false });

const useYesNo = (
  id: string,
  field: string,
  applies: (child: string, view: View) => boolean,
  yes: Parameters<typeof yesNo>[0]['yes'] = true,
  no: Parameters<typeof yesNo>[0]['no'] = false,
) => yesNo({ id, subjects: perChild(applies), fact: (child) => useFact(child, field), yes, no });

/** Follow-ups about single facts of the seat: what a checklist left open and what still matters. */
export const SEAT_FOLLOW_UPS: readonly Question[] = [
  oneOf('acquired', hasSeat, (child) => seatFact(child, 'acquired'), [
    'new',
    'known-second-hand',
    'unknown-second-hand',
  ]),
  seatYesNo('crash', 'crash.happened'),
  seatYesNo('label-readable', 'labelReadable'),
  seatYesNo('parts-complete', 'partsComplete'),
  oneOf('recall', hasSeat, (child) => seatFact(child, 'recall'), ['none', 'open', 'remedied', 'unchecked']),
  seatYesNo('registered', 'registered'),
  seatYesNo('certified', 'certified'),
];

/** Follow-ups about single facts of the installation. */
export const INSTALL_FOLLOW_UPS: readonly Question[] = [
  useYesNo('movement', 'movementCm', harnessed, MOVES, STAYS),
  oneOf('belt-path', harnessed, (child) => useFact(child, 'beltPath'), ['rear-facing', 'forward-facing']),
  useYesNo('belt-locked', 'beltLocked', usesSeatBelt),
  useYesNo('twists', 'twisted', harnessed),
  oneOf('recline', rearFacing, (child) => useFact(child, 'recline'), ['in-range', 'too-upright', 'too-reclined']),
];

/** Follow-ups about single facts of the child in the harness. */
export const HARNESS_FOLLOW_UPS: readonly Question[] = [
  oneOf('straps', harnessed, (child) => useFact(child, 'harness.straps'), ['below', 'at', 'above']),
  useYesNo('pinch', 'harness.pinchable', harnessed),
  oneOf('chest-clip', harnessed, (child) => useFact(child, 'harness.chestClip'), ['armpit', 'low', 'high']),
  useYesNo('clothing', 'harness.bulkyClothing', harnessed),
  useYesNo('insert', 'harness.infantInsert', forwardFacing),
  useYesNo(
    'add-on',
    'harness.addOnProduct',
    (child, view) => harnessed(child, view) || view.modeOf(child) === 'booster',
  ),
  useYesNo('head-clearance', 'headClearanceCm', rearFacing, CLEAR_OF_TOP, NEAR_TOP),
];

const SHOULDER: Readonly<Record<string, string>> = {
  'on-neck': 'neck',
  'off-shoulder': 'off-shoulder',
  'behind-back': 'behind-back',
  'under-arm': 'under-arm',
};

/** Follow-up about the belt's fit where only a part of it was said. */
export const BELT_FOLLOW_UPS: readonly Question[] = [
  {
    id: 'belt-fit',
    slot: null,
    words: 'belt-check',
    subjects: perChild(onBelt),
    facts: (subject) => [useFact(childOf(subject), 'beltFit.lap'), useFact(childOf(subject), 'beltFit.shoulder')],
    choices: () => ['fits', 'lap-on-belly', ...Object.keys(SHOULDER), 'unsure'],
    choose: ([id = 'unsure'], subject, view) => {
      if (id === 'unsure') return UNSURE;
      const child = childOf(subject);
      const lap = useFact(child, 'beltFit.lap');
      const shoulder = useFact(child, 'beltFit.shoulder');
      return facts({
        [lap]: id === 'lap-on-belly' ? 'belly' : (factOf(view.case, lap) ?? 'thighs'),
        [shoulder]: SHOULDER[id] ?? factOf(view.case, shoulder) ?? 'chest',
      });
    },
  },
];
