import type { Answer } from '../src/support/fake-conversations.ts';

/** A short conversation for the page's own tests; its words are of no account. */
export const shortConversation: Answer = (message, turn) => {
  switch (turn) {
    case 0:
      return {
        say: [
          'Hello! I ask about your child, the car seat and your car, so that the technician can prepare.',
          'Is that all right?',
        ],
        choices: [
          { id: 'yes', text: 'Yes, go on' },
          { id: 'no', text: 'No, thank you' },
        ],
        asking: 'consent',
      };
    case 1:
      return { say: ['How heavy is your child?'], choices: [{ id: 'unsure', text: "I don't know" }], asking: 'weight' };
    case 2:
      return {
        say: [
          'A rear-facing seat must never be in front of an active air bag. Move the seat to the back row before the next drive.',
          `Noted: ${message.text}.`,
          'What do you see on the child?',
        ],
        many: true,
        choices: [
          { id: 'straps-above', text: 'The straps come from above the shoulders' },
          { id: 'pinchable', text: 'I can pinch the strap' },
          { id: 'clip-low', text: 'The chest clip is low' },
          { id: 'coat', text: 'A thick coat under the straps' },
          { id: 'none', text: 'None of these' },
          { id: 'unsure', text: "I don't know" },
        ],
        asking: 'harness-check',
        told: ['rear-facing-at-air-bag'],
      };
    default:
      return { say: [`Thank you: ${message.text}. Your reference is K7QX.`], asking: null, done: true };
  }
};
