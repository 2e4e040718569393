import { assign, setup } from 'xstate';
import { inAnotherCar, offersAnotherCar, takeable } from './another-car.ts';
import { accepted, askingKey, forgotten, rejected, restarted, takenBack, withAnswers } from './context-changes.ts';
import type { IntakeEvent } from './events.ts';
import { freshContext, type IntakeContext } from './intake-context.ts';

type Of<T extends IntakeEvent['type']> = Extract<IntakeEvent, { type: T }>;

const moreToAsk = (context: IntakeContext): boolean => askingKey(context) !== null;

const answered = (context: IntakeContext, event: IntakeEvent): IntakeContext => {
  const { answers, words } = event as Of<'ANSWER'>;
  return { ...withAnswers(context, answers), words: [...context.words, words] };
};

const pendingAnswers = ({ pending }: IntakeContext) => (pending?.kind === 'read-back' ? pending.answers : []);

/** What a family may do once its summary was sent. */
const AFTER_SENDING = {
  PERSON: [
    { guard: 'reachable', target: 'withPerson', actions: 'keepSent' },
    { target: 'leavingContact', actions: 'keepSent' },
  ],
  TAKE_OVER: { target: 'withPerson', actions: ['dropPending', 'keepSent'] },
  ANSWER: [
    { guard: 'doubtful', target: 'confirming', actions: 'holdDoubtful' },
    { target: 'resuming', actions: 'record' },
  ],
  CHANGE: [{ guard: 'namesQuestion', target: 'asking', actions: 'reopen' }, { target: 'reviewing' }],
  RESTART: { target: 'confirming', actions: 'askRestart' },
  NOTE: { actions: 'note' },
} as const;

/**
 * The flow of the interview: phases, commands and interruptions. It holds no wording, no timers and no actors; which
 * question is asked inside `asking` is computed from the answers (next-question.ts).
 */
export const intakeMachine = setup({
  types: {
    context: {} as IntakeContext,
    events: {} as IntakeEvent,
  },
  guards: {
    consented: ({ context }) => context.consented,
    moreToAsk: ({ context }) => moreToAsk(context),
    doubtful: ({ event }) => event.type === 'ANSWER' && event.doubtful.length > 0,
    moreAfterAnswer: ({ context, event }) => moreToAsk(answered(context, event)),
    moreAfterYes: ({ context }) => moreToAsk(accepted(context, pendingAnswers(context))),
    namesQuestion: ({ event }) => event.type === 'CHANGE' && event.question !== null,
    reachable: ({ context }) => context.contact !== null,
    afterSending: ({ context }) => context.afterSending === true,
    hasAnswers: ({ context }) => takeable(context.answers).length > 0,
    oneCarSoFar: ({ context }) => offersAnotherCar(context),
    deleting: ({ context }) => context.pending?.kind === 'delete',
    restarting: ({ context }) => context.pending?.kind === 'restart',
    readingBack: ({ context }) => context.pending?.kind === 'read-back',
    cancelling: ({ context }) => context.pending?.kind === 'cancel-time',
    choosing: ({ event }) => event.type === 'SEND' && event.choosing === true,
  },
  actions: {
    setLanguage: assign(({ event }) => ({
      language: (event as Of<'LANGUAGE'>).language,
      offered: null,
      misunderstood: 0,
    })),
    offerLanguage: assign(({ event }) => {
      const { language, text } = event as Of<'OFFER_LANGUAGE'>;
      return { offered: { language, text } };
    }),
    consent: assign({ consented: true, misunderstood: 0 }),
    record: assign(({ context, event }) => answered(context, event)),
    holdDoubtful: assign(({ context, event }) => ({
      ...answered(context, event),
      reopened: null,
      pending: { kind: 'read-back' as const, answers: [...(event as Of<'ANSWER'>).doubtful] },
    })),
    accept: assign(({ context }) => accepted(context, pendingAnswers(context))),
    reject: assign(({ context }) => rejected(context, pendingAnswers(context))),
    dropPending: assign({ pending: null }),
    takeBack: assign(({ context }) => takenBack(context)),
    reopen: assign(({ event }) => ({ reopened: (event as Of<'CHANGE'>).question, misunderstood: 0 })),
    askRestart: assign({ pending: { kind: 'restart' as const } }),
    askDelete: assign({ pending: { kind: 'delete' as const } }),
    takeAnotherCar: assign(({ context }) => inAnotherCar(context)),
    restart: assign(({ context }) => restarted(context)),
    forget: assign(({ context }) => forgotten(context)),
    keepContact: assign(({ event }) => ({ contact: (event as Of<'CONTACT'>).contact })),
    keepSent: assign({ afterSending: true as const }),
    beginAgain: assign({ afterSending: undefined }),
    fromFirstTime: assign({ timesAfter: undefined, timesShown: undefined, misunderstood: 0 }),
    showMoreTimes: assign(({ event }) => ({ timesAfter: (event as Of<'MORE_TIMES'>).after, misunderstood: 0 })),
    takeSlot: assign(({ context, event }) => ({ slot: (event as Of<'BOOK' | 'SEND'>).slot ?? context.slot })),
    askCancel: assign({ pending: { kind: 'cancel-time' as const } }),
    cancelSlot: assign({ slot: undefined, pending: null }),
    keepWords: assign(({ context, event }) => {
      const { words } = event as Of<'NO_TIME'>;
      return words ? { words: [...context.words, words] } : {};
    }),
    note: assign(({ context, event }) => {
      const { words } = event as Of<'NOTE'>;
      return { notes: [...context.notes, words.text], words: [...context.words, words], misunderstood: 0 };
    }),
    countMisunderstood: assign({ misunderstood: ({ context }) => context.misunderstood + 1 }),
  },
}).createMachine({
  id: 'intake',
  context: freshContext('en', null, '2000-01-01', ''),
  initial: 'consenting',
  on: {
    LANGUAGE: { actions: 'setLanguage' },
    OFFER_LANGUAGE: { target: '.choosingLanguage', actions: 'offerLanguage' },
    PERSON: [{ guard: 'reachable', target: '.withPerson' }, { target: '.leavingContact' }],
    TAKE_OVER: { target: '.withPerson', actions: 'dropPending' },
    DELETE: { target: '.confirming', actions: 'askDelete' },
    MISUNDERSTOOD: { actions: 'countMisunderstood' },
  },
  states: {
    choosingLanguage: {
      on: {
        LANGUAGE: [
          { guard: 'consented', target: 'resuming', actions: 'setLanguage' },
          { target: 'consenting', actions: 'setLanguage' },
        ],
        ANSWER: [{ guard: 'doubtful', actions: 'holdDoubtful' }, { actions: 'record' }],
      },
    },
    consenting: {
      on: {
        CONSENT: [
          { guard: 'readingBack', target: 'confirming', actions: 'consent' },
          { target: 'resuming', actions: 'consent' },
        ],
        REFUSE: { target: 'refused', actions: 'forget' },
        ANSWER: [{ guard: 'doubtful', actions: 'holdDoubtful' }, { actions: 'record' }],
      },
    },
    resuming: {
      entry: 'beginAgain',
      always: [{ guard: 'moreToAsk', target: 'asking' }, { target: 'reviewing' }],
    },
    asking: {
      on: {
        NOTE: { actions: 'note' },
        ANSWER: [
          { guard: 'doubtful', target: 'confirming', actions: 'holdDoubtful' },
          { guard: 'moreAfterAnswer', target: 'asking', actions: 'record' },
          { target: 'reviewing', actions: 'record' },
        ],
        BACK: { guard: 'hasAnswers', target: 'resuming', actions: 'takeBack' },
        CHANGE: [{ guard: 'namesQuestion', target: 'asking', actions: 'reopen' }, { target: 'reviewing' }],
        RESTART: { target: 'confirming', actions: 'askRestart' },
      },
    },
    confirming: {
      on: {
        YES: [
          { guard: 'cancelling', target: 'sent', actions: 'cancelSlot' },
          { guard: 'deleting', target: 'deleted', actions: 'forget' },
          { guard: 'restarting', target: 'resuming', actions: 'restart' },
          { guard: 'moreAfterYes', target: 'asking', actions: 'accept' },
          { target: 'reviewing', actions: 'accept' },
        ],
        NO: [
          { guard: 'cancelling', target: 'sent', actions: 'dropPending' },
          { guard: 'readingBack', target: 'resuming', actions: 'reject' },
          { guard: 'consented', target: 'resuming', actions: 'dropPending' },
          { target: 'consenting', actions: 'dropPending' },
        ],
        ANSWER: [
          { guard: 'doubtful', target: 'confirming', actions: ['reject', 'holdDoubtful'] },
          { target: 'resuming', actions: ['reject', 'record'] },
        ],
        BACK: [
          { guard: 'cancelling', target: 'sent', actions: 'dropPending' },
          { guard: 'readingBack', target: 'resuming', actions: 'reject' },
          { guard: 'consented', target: 'resuming', actions: 'dropPending' },
          { target: 'consenting', actions: 'dropPending' },
        ],
        RESTART: { target: 'confirming', actions: 'askRestart' },
      },
    },
    reviewing: {
      on: {
        SEND: [
          { guard: 'choosing', target: 'booking', actions: 'fromFirstTime' },
          { target: 'sent', actions: 'takeSlot' },
        ],
        RESUME: { target: 'resuming' },
        ANSWER: [
          { guard: 'doubtful', target: 'confirming', actions: 'holdDoubtful' },
          { target: 'resuming', actions: 'record' },
        ],
        CHANGE: { guard: 'namesQuestion', target: 'asking', actions: 'reopen' },
        BACK: { guard: 'hasAnswers', target: 'resuming', actions: 'takeBack' },
        RESTART: { target: 'confirming', actions: 'askRestart' },
        NOTE: { actions: 'note' },
      },
    },
    // Sent already: whoever leaves here has lost nothing but the time.
    booking: {
      on: {
        ...AFTER_SENDING,
        BOOK: { target: 'sent', actions: 'takeSlot' },
        MORE_TIMES: { actions: 'showMoreTimes' },
        CHOOSE_TIME: { actions: 'fromFirstTime' },
        NO_TIME: { target: 'sent', actions: 'keepWords' },
        BACK: 'reviewing',
      },
    },
    leavingContact: {
      on: {
        CONTACT: { target: 'withPerson', actions: 'keepContact' },
        BACK: [{ guard: 'consented', target: 'resuming' }, { target: 'consenting' }],
      },
    },
    withPerson: {
      on: {
        // Whoever has a person already is not asked for a contact first, least of all in an emergency.
        PERSON: {},
        RESUME: [
          // What was sent is not agreed to and sent once more.
          { guard: 'afterSending', target: 'sent', actions: 'beginAgain' },
          { guard: 'consented', target: 'resuming' },
          { target: 'consenting' },
        ],
        NOTE: { actions: 'note' },
        RESTART: { target: 'confirming', actions: 'askRestart' },
      },
    },
    sent: {
      on: {
        ...AFTER_SENDING,
        BOOK: { target: 'sent', actions: 'takeSlot' },
        CHOOSE_TIME: { target: 'booking', actions: 'fromFirstTime' },
        CANCEL_TIME: { target: 'confirming', actions: 'askCancel' },
        ANOTHER_CAR: { guard: 'oneCarSoFar', target: 'resuming', actions: 'takeAnotherCar' },
      },
    },
    // Nothing to take over where nothing was shared or all is deleted.
    refused: { on: { RESTART: 'consenting', CONSENT: { target: 'resuming', actions: 'consent' }, TAKE_OVER: {} } },
    deleted: { on: { RESTART: 'consenting', TAKE_OVER: {} } },
  },
});

export const STATES = Object.keys(intakeMachine.config.states ?? {});
