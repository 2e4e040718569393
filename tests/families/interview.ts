import { begin, type Step, step } from '#dialogs/conversation.ts';
import { assess } from '#shared/assess.ts';
import type { Assessment } from '#shared/assessment.ts';
import { createEars } from '#src/locales/ears.ts';
import { answerTo, type Sent, tap, write } from './answers.ts';
import { AS_OF, type Family } from './family.ts';
import { told } from './told.ts';

const ears = createEars();

/** Turns that are no question about the family. */
const NOT_COUNTED = new Set(['language', 'consent', 'confirm', 'review']);

const LONGEST = 150;

export interface Interview {
  readonly family: Family;
  /** Questions asked, in order, each with the child it was about; null for the family's own. */
  readonly asked: readonly { readonly question: string; readonly child: string | null }[];
  /** Findings of the truth that the caregiver can tell, and the case of the conversation misses. */
  readonly lost: readonly string[];
  /** Findings of the conversation's case that the truth does not have. */
  readonly invented: readonly string[];
  /** Children whose advised mode differs from that of the truth. */
  readonly misadvised: readonly string[];
  readonly end: Step;
}

const keysOf = ({ findings }: Assessment): ReadonlySet<string> =>
  new Set(
    findings.map(({ code, urgency, childId, seatId, positionId }) =>
      [code, urgency, childId, seatId, positionId].map((part) => part ?? '-').join(' '),
    ),
  );

const adviceOf = ({ children }: Assessment): readonly string[] =>
  children.map(
    ({ childId, advice }) => `${childId} ${advice.mode} ${advice.certainty}${advice.seatChange ? ' other seat' : ''}`,
  );

/**
 * Interviews one family by the conversation itself, from the greeting to the review. A terse caregiver answers only what
 * is asked, and takes up no invitation to say more at once.
 */
export function interview(family: Family, terse = false): Interview {
  const known = told(family);
  let now = begin({ language: 'en', languageKnown: true, eventId: null, reference: 'TEST-CODE', today: AS_OF });
  const send = ({ text, choiceIds }: Sent): void => {
    now = step(now.snapshot, { text, choiceIds }, AS_OF, ears);
  };
  const asked: { question: string; child: string | null }[] = [];
  while (now.reply.asking !== 'review') {
    const { asking, child } = now.reply;
    if (asking === null || asked.length > LONGEST)
      throw new Error(
        `a ${family.kind} family never reached the review: ${asked.map(({ question }) => question).join(', ')}`,
      );
    const again = asked.at(-1)?.question === asking && asked.at(-1)?.child === (child ?? null);
    if (!NOT_COUNTED.has(asking)) asked.push({ question: asking, child: child ?? null });
    send(
      answerTo(terse ? { ...now.reply, say: [] } : now.reply, known, family.due) ??
        (again ? write('unsure') : tap('unsure')),
    );
  }
  // A size that no growth reference expects was read back, and the caregiver stood by it.
  const confirmed = new Map(now.case.children.map(({ id, sizeConfirmed }) => [id, sizeConfirmed]));
  const truth = assess({
    ...known,
    children: known.children.map((child) => ({ ...child, sizeConfirmed: confirmed.get(child.id) ?? null })),
  });
  const found = now.assessment;
  const [expected, got] = [keysOf(truth), keysOf(found)];
  const advised = adviceOf(found);
  return {
    family,
    asked,
    lost: [...expected].filter((key) => !got.has(key)),
    invented: [...got].filter((key) => !expected.has(key)),
    misadvised: adviceOf(truth).filter((line) => !advised.includes(line)),
    end: now,
  };
}
