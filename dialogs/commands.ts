import { aboutAsk, hasValues, just, type Part, say } from './interpretation.ts';

/** Commands that may interrupt anything; a message that also states values is an answer first. */
export const commands: Part = ({ value, ask, context }, _message, reading) => {
  if (hasValues(reading)) return null;
  switch (reading.intent) {
    case 'person':
      return just({ type: 'PERSON' });
    case 'delete':
      return just({ type: 'DELETE' });
    case 'restart':
      return context.answers.length === 0 ? say({ key: 'say.already-at-start' }) : just({ type: 'RESTART' });
    case 'back':
      return context.answers.length === 0 && value === 'asking'
        ? say({ key: 'say.nothing-to-go-back-to' })
        : just({ type: 'BACK' });
    case 'change':
      return value === 'asking' || value === 'sent'
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
