import { z } from 'zod';
import type { Case } from '#shared/case.ts';
import { caregiverWordsSchema } from '#shared/summary.ts';
import { begin, handedBack, type Start, type Step, step } from './conversation.ts';
import type { Ears } from './ears.ts';
import { factsIn } from './facts-in.ts';
import { type Answer, answerSchema, type EarlierCase, freshContext, type IntakeContext } from './intake-context.ts';
import type { Message } from './interpretation.ts';
import { nextQuestion } from './next-question.ts';
import type { Phrase } from './reply.ts';
import { SNAPSHOT_VERSION, type Snapshot } from './snapshot.ts';
import { LANGUAGES } from './understanding/types.ts';
import { makesCase, viewOf } from './view.ts';

/** A stored snapshot as far as it has the shape of anything. */
const shape = z.looseObject({
  value: z.string().catch(''),
  context: z
    .looseObject({
      language: z.enum(LANGUAGES).nullable().catch(null),
      consented: z.boolean().catch(false),
      answers: z.array(z.unknown()).catch([]),
      words: z.array(z.unknown()).catch([]),
      asking: z.string().nullable().catch(null),
      reopened: z.unknown(),
      pending: z.unknown(),
      told: z.array(z.string()).catch([]),
      contact: z.string().nullable().catch(null),
      notes: z.array(z.string()).catch([]),
      reference: z.string().min(1).max(64).nullable().catch(null),
    })
    .nullable()
    .catch(null),
});

type Shape = z.infer<typeof shape>;

/** An answer with those of its facts that can be read. */
function answerIn(stored: unknown): Answer | null {
  if (typeof stored !== 'object' || stored === null) return null;
  const { question, facts, chosen, declined, unsure, turn } = stored as Record<string, unknown>;
  const all = typeof facts === 'object' && facts !== null ? Object.entries(facts) : [];
  const readable = all.filter(([path, value]) => answerSchema.shape.facts.safeParse({ [path]: value }).success);
  const strings = (list: unknown) => (Array.isArray(list) ? list.filter((one) => typeof one === 'string') : []);
  const { data } = answerSchema.safeParse({
    question,
    facts: Object.fromEntries(readable),
    ...(Array.isArray(chosen) && { chosen: strings(chosen) }),
    declined: strings(declined),
    unsure: unsure === true,
    turn: Number.isSafeInteger(turn) ? turn : 0,
  });
  return data ?? null;
}

/** All answers that can be read and that, one after the other, still make a case. */
function answersIn(stored: readonly unknown[], context: IntakeContext): readonly Answer[] {
  const kept: Answer[] = [];
  for (const answer of stored.map(answerIn)) {
    if (answer && makesCase({ ...context, answers: kept }, [answer]).ok) kept.push(answer);
  }
  return kept;
}

/** The answers of which a case is made, where those of the conversation are lost. */
const answersOf = (known: Case): readonly Answer[] => {
  const ids = known.children.map(({ id }) => id);
  const rest = { declined: [], unsure: false, turn: 0 };
  const count = {
    'conversation.childCount': ids.length,
    ...Object.fromEntries(ids.map((id) => [`children.${id}`, true])),
  };
  return [
    { question: 'child-count', facts: count, ...rest },
    { question: 'rescued', facts: factsIn(known), ...rest },
  ];
};

export interface Rest {
  /** How a conversation would begin anew. */
  readonly start: Start;
  /** All cases of this conversation: one for each car of the family. */
  readonly cases: readonly EarlierCase[];
  /** The case as the desk last had it; null where there is none. */
  readonly lastCase: Case | null;
  /** A person has the conversation. */
  readonly withPerson: boolean;
}

function contextIn(given: Shape['context'], { start, lastCase, cases }: Rest): IntakeContext {
  const reference = given?.reference ?? start.reference;
  const fresh = {
    ...freshContext(start.language, start.eventId, start.today, reference),
    earlier: cases.filter((one) => one.reference !== reference),
  };
  // Before consent no case holds anything of a family.
  const shared = lastCase !== null && lastCase.children.length > 0;
  const own = given ? answersIn(given.answers, fresh) : [];
  const answers = own.length === 0 && shared ? answersOf(lastCase) : own;
  if (!given) return { ...fresh, consented: shared, answers: [...answers] };
  const words = given.words.flatMap((word) => caregiverWordsSchema.safeParse(word).data ?? []);
  return {
    ...fresh,
    language: given.language ?? fresh.language,
    consented: given.consented || shared,
    answers: [...answers],
    words,
    told: given.told,
    contact: given.contact,
    notes: given.notes,
  };
}

const led = (after: Step, lead: Phrase): Step => {
  const { say } = after.reply;
  // Nothing stands before the word about an emergency.
  const first = say[0]?.key === 'say.emergency' ? 1 : 0;
  return { ...after, reply: { ...after.reply, say: [...say.slice(0, first), lead, ...say.slice(first)] } };
};

export interface Rescued {
  readonly step: Step;
  /** How many answers could be read. */
  readonly kept: number;
}

/**
 * Goes on from a stored snapshot that cannot be used as a whole: with the facts that can be read in it, else those of the
 * case, at the question that comes next. The message is heard only where it is sure which question it answers.
 */
export function goOnFrom(stored: unknown, message: Message, ears: Ears, rest: Rest): Rescued {
  const { start, withPerson } = rest;
  const given = shape.safeParse(stored).data ?? { value: '', context: null };
  const context = contextIn(given.context, rest);
  const kept = context.answers.length;
  const lead: Phrase = { key: kept > 0 ? 'say.thread-mended' : 'say.lost-thread' };
  // From here it is resumed at the question that comes next.
  const before: Snapshot = { version: SNAPSHOT_VERSION, value: 'withPerson', context };
  const urgent = message.choiceIds.length === 0 && ears.emergency(message.text);
  if (withPerson || urgent) return { step: led(step(before, message, start.today, ears), lead), kept };
  if (!context.consented) return { step: led(begin(start), lead), kept: 0 };
  const resumed = handedBack(before, start.today);
  const { value, context: had } = given;
  const asked = value === 'asking' && had && had.pending == null && had.reopened == null ? had.asking : null;
  if (asked === null || nextQuestion(viewOf(context))?.key !== asked) return { step: led(resumed, lead), kept };
  // What the resumed question would have told was not said.
  const standing = { ...resumed.snapshot, context: { ...resumed.snapshot.context, told: context.told } };
  return { step: led(step(standing, message, start.today, ears), lead), kept };
}
