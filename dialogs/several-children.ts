import { landed } from './beside.ts';
import { isBrief } from './brief.ts';
import type { Ears } from './ears.ts';
import { hearAnswer } from './hear-answer.ts';
import type { Answer } from './intake-context.ts';
import { type Interpretation, type Message, readContext, type Standing, wordsOf } from './interpretation.ts';
import type { Ask } from './next-question.ts';
import { childCount } from './questions/child-count.ts';
import { childFact, questionKey, type View } from './questions/question.ts';
import { settle } from './settle.ts';
import type { Language } from './understanding/types.ts';
import { viewOf } from './view.ts';

/** Questions before whose answer nobody knows the children by name. */
const BEFORE_NAMES = ['child-count', 'child-name', 'age'];

/** Nothing yet tells one child from the other: an age said then may be anybody's. */
const alike = (view: View): boolean =>
  view.children.every((child) => !view.known(childFact(child, 'name')) && view.ageOf(child) === null);

const answerOf = (question: string, facts: Answer['facts'], turn: number): Answer => ({
  question,
  facts,
  declined: [],
  unsure: false,
  turn,
});

/** "Just one, she's 3", "two, a boy of 4 and a girl of 2": a bare number at the head counts children and tells no age. */
function withoutCount(parts: readonly string[] | null, language: Language, ears: Ears): readonly string[] | null {
  const [first = '', ...rest] = parts ?? [];
  const count = isBrief(first, 2) && !/\p{N}/u.test(first) ? ears.count(first, language) : null;
  if (count === null) return parts;
  return count === rest.length && count > 1 ? rest : null;
}

/** Children told of by their ages, "a 2 year old and a newborn", each with what is said of it; read back, since order is all that tells them apart. */
function byAges(standing: Standing, ask: Ask | null, message: Message, ears: Ears): Interpretation | null {
  const { context } = standing;
  const { language, today, turn } = context;
  const view = viewOf(context);
  const counted = view.known('conversation.childCount');
  if (!alike(view) || (ask && !BEFORE_NAMES.includes(ask.question.id))) return null;
  const slot = counted ? 'age' : null;
  // "Twins of 14 months and a 5 year old" are three.
  const parts = withoutCount(ears.byAge(message.text, language, today, slot), language, ears)?.flatMap((part) =>
    Array.from({ length: ears.atOnce(part, language) ?? 1 }, () => part),
  );
  if (!parts || (counted && parts.length !== view.children.length)) return null;
  const count = counted ? null : childCount.choose?.([String(parts.length)], {}, view);
  const names = parts.map((part) => ears.nameIn(part, language));
  const named = new Set(names).size === parts.length && !names.includes(null);
  const each = parts.map((text, at) => {
    const child = `c${at + 1}`;
    const known = readContext({ ...context, answers: [] }, null);
    return {
      child,
      name: names[at],
      reading: ears.read({ language, asked: slot, text, anyChild: true, context: known }),
    };
  });
  const told = each.flatMap(({ child, name, reading }): Answer[] => [
    ...(named ? [answerOf(`child-name:${child}`, { [childFact(child, 'name')]: String(name) }, turn)] : []),
    ...landed(reading, child, context, null, null),
  ]);
  const counting = count?.kind === 'facts' ? [answerOf('child-count', count.facts, turn)] : [];
  const values = Object.fromEntries(each.map(({ child, reading }) => [child, reading.values]));
  return settle(context, [...counting, ...told], told, false, wordsOf(ask?.question.id ?? null, message, values));
}

/** Children called by name, "Mia is 33 lb, Leo 10": each part is heard as the answer for the child it calls. */
function byNames(standing: Standing, ask: Ask, message: Message, ears: Ears): Interpretation | null {
  const { context } = standing;
  const view = viewOf(context);
  const children = view.case.children.filter(({ id, name }) => name && view.known(childFact(id, 'name')));
  const parts = ears.byName(
    message.text,
    context.language,
    children.flatMap(({ name }) => name ?? []),
  );
  const childOf = (name: string | null) => children.find((child) => child.name === name)?.id ?? ask.subject.child;
  const whose = parts?.map(({ name, text }) => ({ child: childOf(name), text })) ?? [];
  if (new Set(whose.map(({ child }) => child)).size < 2) return null;
  const heard = whose.flatMap(({ child, text }) => {
    const asked = child ? aboutChild(ask, child) : ask;
    const reading = ears.read({
      language: context.language,
      asked: ask.question.slot,
      text,
      anyChild: true,
      context: readContext(context, asked),
    });
    const each = hearAnswer({ ...standing, ask: asked }, asked, { ...message, text }, reading, ears);
    return each?.event?.type === 'ANSWER' ? [{ child, ...each.event }] : [];
  });
  if (heard.length === 0) return null;
  const doubtful = heard.flatMap((each) => each.doubtful);
  const values: Record<string, object> = {};
  for (const { child = '', words } of heard) values[child] = { ...values[child], ...words.values };
  const answers = [...heard.flatMap((each) => each.answers), ...doubtful];
  return settle(context, answers, doubtful, false, wordsOf(ask.question.id, message, values));
}

const aboutChild = ({ question, subject }: Ask, child: string): Ask => {
  const about = subject.child ? { ...subject, child } : subject;
  return { question, subject: about, key: questionKey(question, about) };
};

/** A message that tells of several children at once, heard for each by itself; null where it does not, or not plainly. */
export function hearSeveral(standing: Standing, ask: Ask | null, message: Message, ears: Ears): Interpretation | null {
  if (message.choiceIds.length > 0) return null;
  return byAges(standing, ask, message, ears) ?? (ask ? byNames(standing, ask, message, ears) : null);
}
