import type { Stay } from '#shared/events/free-times.ts';
import type { CaregiverWords } from '#shared/summary.ts';
import type { Answer } from './intake-context.ts';
import type { Language } from './understanding/types.ts';

/** What a message does to the conversation. Built only by interpret.ts, never taken from outside. */
export type IntakeEvent =
  | { readonly type: 'LANGUAGE'; readonly language: Language }
  | { readonly type: 'OFFER_LANGUAGE'; readonly language: Language; readonly text: string }
  | { readonly type: 'CONSENT' }
  | { readonly type: 'REFUSE' }
  /** Facts that may be used as they are, and facts to be read back first. */
  | {
      readonly type: 'ANSWER';
      readonly answers: readonly Answer[];
      readonly doubtful: readonly Answer[];
      readonly words: CaregiverWords;
    }
  | { readonly type: 'YES' }
  | { readonly type: 'NO' }
  | { readonly type: 'BACK' }
  | { readonly type: 'CHANGE'; readonly question: string | null }
  | { readonly type: 'RESTART' }
  | { readonly type: 'DELETE' }
  | { readonly type: 'PERSON' }
  | { readonly type: 'CONTACT'; readonly contact: string | null }
  /** A technician writes to the caregiver. */
  | { readonly type: 'TAKE_OVER' }
  | { readonly type: 'RESUME' }
  /** `choosing`: a time at the event is asked for next; `slot`: the time that the family has, as it is needed now. */
  | { readonly type: 'SEND'; readonly choosing?: true; readonly slot?: Stay }
  | { readonly type: 'CHOOSE_TIME' }
  | { readonly type: 'MORE_TIMES'; readonly after: string }
  | { readonly type: 'BOOK'; readonly slot: Stay }
  /** No time for now; `words`: none of those on offer suits. */
  | { readonly type: 'NO_TIME'; readonly words?: CaregiverWords }
  | { readonly type: 'CANCEL_TIME' }
  /** The family's other car is to be gone through as well. */
  | { readonly type: 'ANOTHER_CAR' }
  | { readonly type: 'NOTE'; readonly words: CaregiverWords }
  | { readonly type: 'MISUNDERSTOOD' };
