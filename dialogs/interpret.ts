import { hearTimes } from './booking.ts';
import { isBrief } from './brief.ts';
import { withoutContradiction } from './choosing.ts';
import { commands } from './commands.ts';
import { correction } from './correction.ts';
import type { Ears } from './ears.ts';
import {
  aboutAsk,
  type Interpretation,
  just,
  type Message,
  NOTHING_READ,
  readContext,
  type Standing,
  say,
} from './interpretation.ts';
import { hearPhoto } from './label-photo.ts';
import { switchLanguage } from './language-choice.ts';
import { lateChoice } from './late-choice.ts';
import { PHASES } from './phases.ts';
import type { Phrase } from './reply.ts';
import { INTENTS, type Reading } from './understanding/types.ts';

const misunderstood = ({ context, ask }: Standing): Interpretation => {
  const times = context.misunderstood + 1;
  const lead: Phrase[] = [
    {
      key:
        times === 1 ? 'say.not-understood' : times === 2 ? 'say.not-understood-choices' : 'say.not-understood-person',
    },
  ];
  if (ask && times === 2) lead.push(aboutAsk('how', ask, context));
  return just({ type: 'MISUNDERSTOOD' }, ...lead);
};

/** A message that makes no sense here, but would in another of the languages: that language is offered. */
function otherwise(standing: Standing, { text }: Message, ears: Ears): Interpretation {
  const seems = ears.recogniseLanguage(text);
  return seems !== null && seems !== standing.context.language
    ? just({ type: 'OFFER_LANGUAGE', language: seems, text })
    : misunderstood(standing);
}

/** A yes or no in a sentence of another language may be none: "no entiendo". */
const LONGEST_ANSWER = 4;

function inAnotherLanguage({ value, context }: Standing, message: Message, reading: Reading, ears: Ears) {
  const { text, choiceIds } = message;
  const { answer, ...stated } = reading.values;
  const bare = answer !== undefined && Object.keys(stated).length === 0;
  if (value !== 'asking' || choiceIds.length > 0 || !bare || isBrief(text, LONGEST_ANSWER)) return null;
  const seems = ears.recogniseLanguage(text);
  return seems === null || seems === context.language ? null : just({ type: 'OFFER_LANGUAGE', language: seems, text });
}

/** Questions of the phases themselves, which the reader hears as yes or no. */
const YES_NO_PHASES = [
  'consenting',
  'confirming',
  'reviewing',
  'choosingLanguage',
  'leavingContact',
  'booking',
  'refused',
  'deleted',
];

function readFor(standing: Standing, { text }: Message, ears: Ears): Reading {
  const { value, ask, context } = standing;
  const command = INTENTS.find((intent) => intent === text.trim().toLowerCase());
  if (command && command !== 'unsure') return { values: {}, confidence: 'sure', intent: command };
  const asked =
    value === 'choosingLanguage' && !context.offered
      ? 'language'
      : YES_NO_PHASES.includes(value)
        ? 'yes-no'
        : (ask?.question.slot ?? null);
  return ears.read({ language: context.language, asked, text, context: readContext(context, ask) });
}

/** Reads one message in the state the conversation stands in. Never throws on anything a person can type. */
export function interpret(standing: Standing, message: Message, ears: Ears): Interpretation {
  const { value } = standing;
  if (message.photo) return hearPhoto(standing, message, message.photo);
  const urgent = message.choiceIds.length === 0 && ears.emergency(message.text);
  if (urgent) return { event: { type: 'PERSON' }, lead: [{ key: 'say.emergency' }] };
  if (message.choiceIds.includes('person')) return just({ type: 'PERSON' });
  if (message.text.trim() === '' && message.choiceIds.length === 0) return say({ key: 'say.empty' });
  const reading = message.choiceIds.length > 0 ? NOTHING_READ : readFor(standing, message, ears);
  return (
    hearTimes(standing, message, reading, ears) ??
    commands(standing, message, reading, ears) ??
    switchLanguage(standing, message, reading, ears) ??
    inAnotherLanguage(standing, message, reading, ears) ??
    correction(standing, message, reading, ears) ??
    PHASES[value]?.(standing, { ...message, choiceIds: withoutContradiction(message.choiceIds) }, reading, ears) ??
    lateChoice(standing, message, reading, ears) ??
    otherwise(standing, message, ears)
  );
}
