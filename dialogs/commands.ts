import { takeable } from './another-car.ts';
import type { Ears } from './ears.ts';
import { aboutAsk, hasValues, just, type Message, type Part, type Standing, say } from './interpretation.ts';
import type { Reading } from './understanding/types.ts';

/** Intents that would cost something if a word were misheard as one of them. */
const COSTLY = ['delete', 'restart', 'change'];

/** Whether words that sound like a command name a choice of the question: "back left" is a place, and a nickname is a name. */
function isAnswer({ ask, context }: Standing, { text }: Message, reading: Reading, ears: Ears): boolean {
  if (!ask) return false;
  const { id, words } = ask.question;
  if (id === 'child-name') return COSTLY.includes(reading.intent ?? '') && !/\s/.test(text.trim());
  // In some languages "back" is also where most children ride.
  if (id === 'position' && ears.keywords(text, context.language, 'somewhere-behind').length > 0) return true;
  return words !== undefined && words !== 'count' && ears.keywords(text, context.language, words).length > 0;
}

/** Commands that may interrupt anything; a message that also states values is an answer first. */
export const commands: Part = (standing, message, reading, ears) => {
  const { value, ask, context } = standing;
  if (hasValues(reading) || isAnswer(standing, message, reading, ears)) return null;
  switch (reading.intent) {
    case 'person':
      return just({ type: 'PERSON' });
    case 'delete':
      return just({ type: 'DELETE' });
    case 'restart':
      return context.answers.length === 0 ? say({ key: 'say.already-at-start' }) : just({ type: 'RESTART' });
    case 'back':
      return takeable(context.answers).length === 0 && value === 'asking'
        ? say({ key: 'say.nothing-to-go-back-to' })
        : just({ type: 'BACK' });
    case 'change':
      return ['asking', 'booking', 'sent'].includes(value)
        ? just({ type: 'CHANGE', question: null })
        : say({ key: 'review.say-what' });
    case 'help':
      return say({ key: 'say.help' }, ...(ask ? [aboutAsk('how', ask, context)] : []));
    case 'why':
      return say(ask ? aboutAsk('why', ask, context) : { key: 'say.why' });
    case 'repeat':
      return say();
    default:
      return null;
  }
};
