import { RESTRAINT_MODES } from '#shared/case.ts';
import { offersAnotherCar } from './another-car.ts';
import { booking, choicesAfterSending, minutesNeeded, sending } from './booking.ts';
import { isBrief } from './brief.ts';
import { childNamed } from './child-named.ts';
import { chosenIn } from './choosing.ts';
import type { Ears } from './ears.ts';
import { hearAnswer, hearOpen } from './hear-answer.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import {
  hasValues,
  type Interpretation,
  just,
  type Message,
  type Part,
  readContext,
  type Standing,
  say,
  wordsOf,
} from './interpretation.ts';
import { choosingLanguage } from './language-choice.ts';
import { type Ask, askOf, nextQuestion } from './next-question.ts';
import { questionKey } from './questions/question.ts';
import { reviewChoices } from './review.ts';
import { hearSeveral } from './several-children.ts';
import type { Reading } from './understanding/types.ts';
import { viewOf } from './view.ts';

/** A plain yes or no. A message that also states values is heard for its values: nobody consents or sends by a remark. */
const yesOrNo = ({ choiceIds, text }: Message, reading: Reading): string | null => {
  const { values } = reading;
  const ids = chosenIn(choiceIds[0] ?? text, { choices: ['yes', 'no'], many: false, numeric: false });
  return (
    ids?.[0] ?? (!hasValues(reading) && (values.answer === 'yes' || values.answer === 'no') ? values.answer : null)
  );
};

/** A longer message says more than yes or no: nobody consents or sends by it. */
const LONGEST_YES = 3;

const consenting: Part = (standing, message, reading, ears) => {
  const seems = isBrief(message.text, 1) ? null : ears.recogniseLanguage(message.text);
  if (message.choiceIds.length === 0 && seems !== null && seems !== standing.context.language)
    return just({ type: 'OFFER_LANGUAGE', language: seems, text: message.text });
  // Before yes and no: "no problem" is a yes.
  if (ears.agrees(message.text, standing.context.language, 'consent')) return just({ type: 'CONSENT' });
  const answer = yesOrNo(message, reading);
  if (answer) return just({ type: answer === 'yes' ? 'CONSENT' : 'REFUSE' });
  return hearSeveral(standing, null, message, ears) ?? hearOpen(standing, message, ears, null);
};

/** The question on screen, about the child and the mode that the message names where those are others. */
function asMeant(ask: Ask, { text, choiceIds }: Message, reading: Reading, context: IntakeContext): Ask {
  const { child, mode } = ask.subject;
  if (!child || ask.question.id === 'child-name' || choiceIds.length > 0) return ask;
  const view = viewOf(context);
  const other = childNamed(text, view) ?? child;
  // Limits said of another direction than the one asked about are that direction's.
  const way = mode && RESTRAINT_MODES.find((each) => each === reading.values.mode);
  if (other === child && (!way || way === mode)) return ask;
  const subject = { child: other, ...(mode && { mode: way ?? mode }) };
  return { ...ask, subject, key: questionKey(ask.question, subject) };
}

const asking: Part = (standing, message, reading, ears) => {
  const { ask, context } = standing;
  if (!ask) return null;
  return (
    hearSeveral(standing, ask, message, ears) ??
    hearAnswer(standing, asMeant(ask, message, reading, context), message, reading, ears) ??
    // No answer to this question, but perhaps to a later one.
    (message.choiceIds.length === 0 ? hearOpen(standing, message, ears, ask.question.id, ask) : null)
  );
};

/** What was read back and is neither confirmed nor said anew by this message: it goes on being read back. */
function keepingDoubts(heard: Interpretation, pending: readonly Answer[]): Interpretation {
  if (heard.event?.type !== 'ANSWER') return heard;
  const { answers, doubtful } = heard.event;
  const anew = [...answers, ...doubtful];
  const kept = pending.filter(
    ({ question, facts }) =>
      !anew.some((answer) => answer.question === question || Object.keys(facts).some((path) => path in answer.facts)),
  );
  return { ...heard, event: { ...heard.event, doubtful: [...doubtful, ...kept] } };
}

/** Yes, no, or in place of either the right value at once. */
const confirming: Part = (standing, message, reading, ears) => {
  const answer = yesOrNo(message, reading);
  const cancelling = standing.context.pending?.kind === 'cancel-time';
  if (answer === 'yes') return just({ type: 'YES' }, ...(cancelling ? [{ key: 'slot.cancelled' }] : []));
  const { pending, language } = standing.context;
  const doubts = pending?.kind === 'read-back' ? pending.answers : [];
  const key = doubts[0]?.question;
  const ask = key ? askOf(key, viewOf(standing.context)) : null;
  const several = answer ? null : hearSeveral(standing, ask, message, ears);
  if (several) return keepingDoubts(several, doubts);
  if (ask && message.choiceIds.length === 0) {
    const context = readContext(standing.context, ask);
    const anew = ears.read({ language, asked: ask.question.slot, text: message.text, context });
    const again = hearAnswer({ ...standing, ask }, ask, message, anew, ears);
    if (again?.event?.type === 'ANSWER' && hasValues(anew)) return keepingDoubts(again, doubts);
    // "No, I don't think the tether is hooked up": the "no" may be about what else the message says.
    const plain = answer !== null && isBrief(message.text, LONGEST_YES);
    const beside = plain ? null : hearOpen(standing, message, ears, ask.question.id, ask);
    if (beside) return keepingDoubts(beside, doubts);
  }
  const unsure = reading.values.answer === 'unsure' || reading.intent === 'unsure';
  return answer === 'no' || unsure ? just({ type: 'NO' }) : null;
};

const reviewing: Part = (standing, message, reading, ears) => {
  const { context } = standing;
  const view = viewOf(context);
  const complete = nextQuestion(view) === null;
  const chosen = chosenIn(message.choiceIds[0] ?? message.text, {
    choices: reviewChoices(view),
    many: false,
    numeric: false,
  });
  const id = chosen?.[0];
  if (id && id !== 'yes') return just({ type: 'CHANGE', question: id });
  const answer = yesOrNo(message, reading);
  const brief = isBrief(message.text, LONGEST_YES);
  const sends = (answer === 'yes' && brief) || ears.agrees(message.text, context.language, 'send');
  if (id === 'yes' || sends) return just(complete ? sending(context, standing.times) : { type: 'RESUME' });
  if (answer === 'no' && brief) return say({ key: 'review.say-what' });
  const heard = hearOpen(standing, message, ears, 'review');
  if (heard) return heard;
  return just({ type: 'NOTE', words: wordsOf('review', message, {}) }, { key: 'say.noted' });
};

const DIGITS_OF_A_PHONE = 6;

const leavingContact: Part = (_standing, message, reading) => {
  const { text } = message;
  const skips = message.choiceIds[0] === 'skip' || text.trim().toLowerCase() === 'skip' || text.trim() === '1';
  if (skips || reading.values.answer === 'no') return just({ type: 'CONTACT', contact: null });
  const reachable = text.includes('@') || (text.match(/\p{Nd}/gu) ?? []).length >= DIGITS_OF_A_PHONE;
  // "Here", or whatever else a frightened person writes: nobody is held up by this question.
  return just({ type: 'CONTACT', contact: reachable ? text.trim().slice(0, 200) : null });
};

const resumes = ({ choiceIds, text }: Message): boolean =>
  choiceIds[0] === 'continue' || ['continue', '1'].includes(text.trim().toLowerCase());

const withPerson: Part = (_standing, message) =>
  resumes(message)
    ? just({ type: 'RESUME' })
    : just({ type: 'NOTE', words: wordsOf(null, message, {}) }, { key: 'person.passed-on' });

/** "My mom's car": said of the car alone, it is a wish; in a longer message it is something for the technician. */
const LONGEST_CAR = 3;

/** The other car is to be gone through: by its button, its place in the list, or by naming it. */
function wantsAnotherCar({ context, times }: Standing, message: Message, ears: Ears): boolean {
  if (!offersAnotherCar(context)) return false;
  const { choiceIds, text } = message;
  const offered = [...choicesAfterSending(context, times, minutesNeeded(context)), 'another-car'];
  const id = chosenIn(choiceIds[0] ?? text, { choices: offered, many: false, numeric: false })?.[0];
  if (id !== undefined || choiceIds.length > 0) return id === 'another-car';
  return isBrief(text, LONGEST_CAR) && ears.keywords(text, context.language, 'position')[0] === 'other-car';
}

const sent: Part = (standing, message, _reading, ears) =>
  (wantsAnotherCar(standing, message, ears) ? just({ type: 'ANOTHER_CAR' }, { key: 'say.another-car' }) : null) ??
  hearOpen(standing, message, ears, null) ??
  just({ type: 'NOTE', words: wordsOf(null, message, {}) }, { key: 'say.noted' });

const ended: Part = ({ value }, message, reading) => {
  const again = ['restart', 'yes', '1'].includes(message.choiceIds[0] ?? message.text.trim().toLowerCase());
  return again || reading.values.answer === 'yes' ? just({ type: value === 'refused' ? 'CONSENT' : 'RESTART' }) : say();
};

/** How a message is read in each state of the machine. */
export const PHASES: Readonly<Record<string, Part>> = {
  choosingLanguage,
  consenting,
  asking,
  confirming,
  reviewing,
  booking,
  leavingContact,
  withPerson,
  sent,
  refused: ended,
  deleted: ended,
};
