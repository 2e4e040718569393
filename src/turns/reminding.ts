import type { Assessment } from '#shared/assessment.ts';
import type { Case } from '#shared/case.ts';
import { type Reminder, remindersOf } from '#shared/visit-record/reminders.ts';
import { ASKED_KEY, REMINDER_KEY } from '#src/store/reminders.ts';
import type { Effect } from '#src/store/store.ts';
import { dateWords } from '#src/words/quantities.ts';
import type { Words } from '#src/words/words.ts';
import { tellCaregiver } from './caregiver-message.ts';

/** Morning on the Pacific coast and midday on the Atlantic one: a message that nobody is woken by. */
const AT_UTC = 'T16:00:00.000Z';

export interface ToRemind {
  readonly conversationId: string;
  /** The case: another car of the same family has reminders of its own. */
  readonly reference: string;
  /** BCP 47 language of the family. */
  readonly language: string;
  readonly judged: { readonly case: Case; readonly assessment: Assessment };
  /** The family said that it wants to be reminded. */
  readonly asked: boolean;
}

export type Remind = (to: ToRemind) => readonly Effect[];

/** The messages that remind a family, each on its day, in its language. */
export function createRemind(words: Words): Remind {
  const nameOf = ({ language, judged }: ToRemind, { name, childId }: Reminder): string => {
    const { children } = judged.case;
    const chat = words.say(language, 'chat');
    if (name) return name;
    return children.length === 1
      ? chat('child.only')
      : chat('child.nth', { n: children.findIndex(({ id }) => id === childId) + 1 });
  };
  return (to) =>
    remindersOf(to.judged).map((reminder) => {
      const { about, childId, on, date } = reminder;
      const say = words.say(to.language, 'take-home');
      const text = say(`reminder.${about}`, { child: nameOf(to, reminder), date: dateWords(to.language, date) });
      const key = `${to.asked ? ASKED_KEY : `${REMINDER_KEY}unasked:`}${childId}:${about}:${date}:${to.reference}`;
      const effect = tellCaregiver({ conversationId: to.conversationId, text }, key, `${on}${AT_UTC}`);
      return { ...effect, reference: to.reference };
    });
}
