import type { Assessment, Finding } from '#shared/assessment.ts';
import { minutesOfAll, offersAnotherCar } from './another-car.ts';
import { bookingTurn, sentTimes } from './booking-scenes.ts';
import { asAsked } from './context-changes.ts';
import type { DangerNews } from './dangers.ts';
import { childPhrase, choicePhrase, describeAnswer, linesByChild } from './describe.ts';
import type { EventTimes } from './event-times.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import { askValues, standingAsk } from './interpretation.ts';
import { languagesOffered } from './language-choice.ts';
import { nextQuestion } from './next-question.ts';
import { otherCarFact, seatOf, type View } from './questions/question.ts';
import { hasSeat } from './questions/seats.ts';
import type { Choice, Phrase, Quantity, Reply } from './reply.ts';
import { reviewLines } from './review.ts';
import { seatingProposal } from './seating.ts';
import { viewOf } from './view.ts';

type Turn = Pick<Reply, 'say' | 'choices' | 'asking'> &
  Partial<Pick<Reply, 'many' | 'child' | 'seat' | 'mode' | 'done' | 'seating'>>;

interface Scene {
  readonly context: IntakeContext;
  readonly view: View;
  readonly assessment: Assessment;
  readonly times: EventTimes | null;
}

const choices = (question: string, ids: readonly string[]): readonly Choice[] =>
  ids.map((id) => ({ id, phrase: choicePhrase(question, id) }));

const yesNo: readonly Choice[] = choices('yes-no', ['yes', 'no']);

const own = (id: string): Choice => ({ id, phrase: { key: `choice.${id}` } });

const SCENES: Readonly<Record<string, (scene: Scene) => Turn>> = {
  choosingLanguage: ({ context }) => {
    const offered = context.offered?.language;
    return {
      asking: 'language',
      say: [
        offered
          ? { key: 'question.language-offer', values: { language: { kind: 'language', tag: offered } } }
          : { key: 'question.language' },
      ],
      choices: languagesOffered(context).map((tag) => ({
        id: tag,
        phrase: { key: 'language', values: { language: { kind: 'language', tag } } },
      })),
    };
  },
  consenting: () => ({
    asking: 'consent',
    say: [{ key: 'question.consent' }],
    choices: yesNo.map(({ id }) => ({ id, phrase: { key: `choice.consent.${id}` } })),
  }),
  asking: ({ context }) => askingTurn(context),
  confirming: ({ context, view }) => confirmingTurn(context, view),
  reviewing: ({ context, view }) => {
    const complete = nextQuestion(view) === null;
    const lines = reviewLines(view, context.answers);
    const { say: plan, ...seating } = seatingProposal(view);
    return {
      ...seating,
      asking: 'review',
      say: [
        { key: 'review.intro' },
        ...lines.map(({ phrase }) => phrase),
        ...(lines.some(({ unsure }) => unsure) ? [{ key: 'review.find-out' }] : []),
        ...plan,
        { key: complete ? 'question.review' : 'question.review-unfinished' },
      ],
      choices: [
        { id: 'yes', phrase: { key: complete ? 'choice.review.send' : 'choice.review.go-on' } },
        ...lines.map(({ key, phrase }) => ({
          id: key,
          phrase: { key: 'review.change', values: { line: { kind: 'phrase' as const, phrase } } },
        })),
      ],
    };
  },
  booking: ({ context, times, assessment }) => bookingTurn(context, times, minutesOfAll(context, assessment)),
  leavingContact: () => ({ asking: 'contact', say: [{ key: 'question.contact' }], choices: [own('skip')] }),
  withPerson: () => ({
    asking: null,
    done: true,
    say: [{ key: 'person.told' }, { key: 'caution.drive' }],
    choices: [own('continue')],
  }),
  sent: ({ context, view, assessment, times }) => ({
    asking: null,
    done: true,
    say: [
      { key: 'sent.reference', values: { reference: context.reference } },
      ...sentTimes(context, times, minutesOfAll(context, assessment)).say,
      ...bring(assessment),
      ...standing(assessment, view),
      { key: 'caution.drive' },
      { key: 'caution.not-a-substitute' },
      { key: 'sent.change' },
      ...(offersAnotherCar(context) ? inOtherCar(view) : []),
    ],
    choices: [
      ...sentTimes(context, times, minutesOfAll(context, assessment)).choices,
      ...(offersAnotherCar(context) ? [own('another-car')] : []),
    ],
  }),
  refused: () => ({
    asking: null,
    done: true,
    say: [{ key: 'refused' }, { key: 'caution.drive' }],
    choices: [own('restart')],
  }),
  deleted: () => ({
    asking: null,
    done: true,
    say: [{ key: 'deleted' }, { key: 'caution.drive' }],
    choices: [own('restart')],
  }),
};

function askingTurn(context: IntakeContext): Turn {
  const view = viewOf(asAsked(context));
  const ask = standingAsk('asking', context);
  if (!ask) throw new Error('the machine asks, but nothing is left to ask');
  const { question, subject } = ask;
  const { child, mode } = subject;
  const wording = question.wording?.(subject, view) ?? question.id;
  return {
    asking: question.id,
    say: [{ key: `question.${wording}`, values: askValues(ask, view) }],
    choices: choices(question.id, question.choices(subject, view)),
    many: question.many === true,
    ...(child && { child }),
    ...(child && hasSeat(child, view) && { seat: seatOf(child) }),
    ...(mode && { mode }),
  };
}

function confirmingTurn({ pending }: IntakeContext, view: View): Turn {
  if (pending?.kind !== 'read-back')
    return { asking: 'confirm', say: [{ key: `question.confirm-${pending?.kind ?? 'restart'}` }], choices: yesNo };
  const child = pending.answers[0]?.question.split(':')[1];
  const each = linesByChild(pending.answers, view, (answer) => ofMode(answer, pending.answers));
  if (each) return { asking: 'confirm', say: [...each, { key: 'question.confirm-each' }], choices: yesNo };
  const phrases = pending.answers.flatMap((answer) => ofMode(answer, pending.answers));
  return {
    asking: 'confirm',
    say: [{ key: 'question.confirm', values: { list: ofChild(child, { kind: 'list', phrases }, view) } }],
    choices: yesNo,
    ...(child && { child }),
    ...(child && hasSeat(child, view) && { seat: seatOf(child) }),
  };
}

/** Limits of several ways of riding are each read back with theirs. */
function ofMode(answer: Answer, beside: readonly Answer[]): readonly Phrase[] {
  const phrases = describeAnswer(answer);
  const [id, , mode] = answer.question.split(':');
  const several = beside.filter(({ question }) => question.startsWith('label-limits:')).length > 1;
  if (id !== 'label-limits' || !mode || !several) return phrases;
  const topic: Quantity = { kind: 'phrase', phrase: { key: `choice.riding-mode.${mode}` } };
  return [{ key: 'review.line', values: { topic, value: { kind: 'list', phrases } } }];
}

/** What is read back, with the child's name where there are several. */
const ofChild = (child: string | undefined, list: Quantity, view: View): Quantity =>
  child && view.children.length > 1
    ? {
        kind: 'phrase',
        phrase: { key: 'review.line', values: { topic: childPhrase(child, view), value: list } },
      }
    : list;

const bring = ({ visit }: Assessment): readonly Phrase[] => {
  const phrases = visit.bring.filter((item) => !item.startsWith('spare-')).map((item) => ({ key: `bring.${item}` }));
  return [{ key: 'sent.bring', values: { list: { kind: 'list', phrases } } }];
};

/** Children of whose car nothing is known yet. */
const inOtherCar = (view: View): readonly Phrase[] =>
  view.children
    .filter((child) => view.known(otherCarFact(child)))
    .map((child) => ({ key: 'sent.other-car', values: { child: childPhrase(child, view) } }));

/** The child a finding is about, or who sits in the seat or at the place it is about. */
const childOfFinding = ({ childId, seatId, positionId }: Finding, { case: { uses }, children }: View): string =>
  childId ??
  uses.find((use) => (seatId ? use.seatId === seatId : use.positionId === positionId))?.childId ??
  children[0] ??
  'c1';

const dangerPhrase = (finding: Finding, view: View): Phrase => ({
  key: `danger.${finding.code}`,
  values: { child: childPhrase(childOfFinding(finding, view), view) },
});

/** The dangers that still stand when the family leaves the chat. */
const standing = ({ findings }: Assessment, view: View): readonly Phrase[] =>
  findings.filter(({ urgency }) => urgency === 'before-next-trip').map((finding) => dangerPhrase(finding, view));

const news = ({ fresh, lifted }: DangerNews, view: View): readonly Phrase[] => [
  ...lifted.map((key) => ({
    key: 'say.danger-lifted',
    values: { danger: { kind: 'phrase' as const, phrase: { key: `danger-name.${key.split(':')[0]}` } } },
  })),
  ...fresh.map((finding) => dangerPhrase(finding, view)),
  ...(fresh.length > 0 ? [{ key: 'danger.until' }] : []),
];

/** Misunderstandings in a row after which a person is offered. */
const OFFER_PERSON_AFTER = 3;

/** The reply of a turn: what was understood, what cannot wait, then the next question. */
export function compose(
  value: string,
  context: IntakeContext,
  assessment: Assessment,
  lead: readonly Phrase[],
  dangers: DangerNews,
  times: EventTimes | null = null,
): Reply {
  const view = viewOf(context);
  const turn = SCENES[value]?.({ context, view, assessment, times });
  if (!turn) throw new Error(`no scene for the state ${value}`);
  const spoken = value === 'sent' || value === 'deleted' || value === 'refused' ? [] : news(dangers, view);
  const helpless = context.misunderstood >= OFFER_PERSON_AFTER && turn.done !== true;
  return {
    many: false,
    done: false,
    ...turn,
    choices: helpless ? [...turn.choices, own('person')] : turn.choices,
    say: [...lead, ...spoken, ...turn.say],
    told: dangers.fresh.map(({ code }) => code),
  };
}
