import type { Facts, FactValue } from './facts.ts';
import type { View } from './questions/question.ts';
import type { Phrase, Quantity } from './reply.ts';

/** Answers that read the same under every question that offers them. */
const COMMON = ['yes', 'no', 'unsure', 'no-label', 'not-found'];

/** Questions in which `none` is an answer of its own rather than "none of these". */
const OWN_NONE = ['riding-mode', 'attachment', 'front-air-bag', 'recall'];

/** The words on a choice. */
export function choicePhrase(question: string, id: string): Phrase {
  const common = COMMON.includes(id) || (id === 'none' && !OWN_NONE.includes(question));
  return { key: common ? `choice.${id}` : `choice.${question}.${id}` };
}

/** How a child is called: its nickname, "your child" where there is one, or its number, with its age once that is known. */
export function childPhrase(child: string, view: View): string | Quantity {
  const name = view.case.children.find(({ id }) => id === child)?.name;
  if (name) return name;
  if (view.children.length === 1) return phrase('child.only');
  const nth: Quantity = { kind: 'phrase', phrase: { key: 'child.nth', values: { n: Number(child.slice(1)) } } };
  const age = view.ageOf(child);
  return age === null
    ? nth
    : { kind: 'phrase', phrase: { key: 'child.nth-aged', values: { child: nth, age: { kind: 'age', months: age } } } };
}

const phrase = (key: string): Quantity => ({ kind: 'phrase', phrase: { key } });

const range = (value: FactValue): number | { min: number; max: number } =>
  value as number | { min: number; max: number };

const months = (value: FactValue): { min: number; max: number } =>
  typeof value === 'number' ? { min: value, max: value } : (value as { min: number; max: number });

type Describer = (value: FactValue, path: string) => Phrase;

/** How a single fact is said back, by the last part of its path. */
const BY_FIELD: Readonly<Record<string, Describer>> = {
  due: (value) => ({ key: 'fact.due', values: { date: { kind: 'date', date: String(value) } } }),
  childCount: (value) => ({ key: 'fact.children', values: { count: Number(value) } }),
  name: (value) => ({ key: 'fact.name', values: { name: String(value) } }),
  ageMonths: (value) => ({ key: 'fact.age', values: { age: { kind: 'age', months: months(value) } } }),
  birthDate: (value) => ({ key: 'fact.birth-date', values: { date: { kind: 'date', date: String(value) } } }),
  weightKg: (value) => ({ key: 'fact.weight', values: { weight: { kind: 'weight', kg: range(value) } } }),
  heightCm: (value) => ({ key: 'fact.height', values: { height: { kind: 'height', cm: range(value) } } }),
  massKg: (value) => ({ key: 'fact.seat-weight', values: { weight: { kind: 'weight', kg: range(value) } } }),
  mode: (value) => ({ key: 'fact.item', values: { item: phrase(`choice.riding-mode.${value}`) } }),
  kind: (value) => ({ key: 'fact.item', values: { item: phrase(`choice.seat-kind.${value}`) } }),
  manufactureDate: (value) => ({ key: 'fact.made', values: { date: { kind: 'date', date: String(value) } } }),
  expiryDate: (value) => ({ key: 'fact.expires', values: { date: { kind: 'date', date: String(value) } } }),
  usefulLifeYears: (value) => ({ key: 'fact.useful-life', values: { count: Number(value) } }),
  modelYear: (value) => ({ key: 'fact.vehicle-year', values: { year: String(value) } }),
  jurisdiction: (value) => ({ key: 'fact.place', values: { place: { kind: 'place', code: String(value) } } }),
  minWeightKg: (value) => ({ key: 'fact.limit-from', values: { limit: { kind: 'weight', kg: range(value) } } }),
  maxWeightKg: (value) => limit(value, { kind: 'weight', kg: range(value) }, 'weight'),
  minAgeMonths: (value) => ({ key: 'fact.limit-from', values: { limit: { kind: 'age', months: months(value) } } }),
  minHeightCm: (value) => ({ key: 'fact.limit-from', values: { limit: { kind: 'height', cm: range(value) } } }),
  maxHeightCm: (value) => limit(value, { kind: 'height', cm: range(value) }, 'height'),
  'rear-facing': (value) => limit(value, { kind: 'weight', kg: range(value) }, 'weight'),
  'forward-facing': (value) => limit(value, { kind: 'weight', kg: range(value) }, 'weight'),
};

const limit = (value: FactValue, quantity: Quantity, measure: string): Phrase =>
  value === null ? { key: `fact.no-${measure}-limit` } : { key: 'fact.limit-to', values: { limit: quantity } };

/** What was understood, fact by fact; facts that nobody said in so many words are left out. */
export function describe(facts: Facts): readonly Phrase[] {
  return Object.entries(facts).flatMap(([path, value]) => {
    const describer = BY_FIELD[path.split('.').at(-1) as string];
    if (!describer || (value === null && !path.includes('.modes.'))) return [];
    return [describer(value, path)];
  });
}

/** What is said of an answer: the choices it names, else its facts in figures. */
export function describeAnswer(answer: {
  readonly question: string;
  readonly facts: Facts;
  readonly chosen?: readonly string[] | undefined;
}): readonly Phrase[] {
  const said = describe(answer.facts);
  const question = answer.question.split(':')[0] as string;
  if (!answer.chosen) return said;
  const none = answer.chosen[0] === 'none' && !OWN_NONE.includes(question);
  return none ? [{ key: 'review.none-listed' }] : answer.chosen.map((id) => choicePhrase(question, id));
}

/** The child of an answer's question, or null for one about the whole family. */
const childOfAnswer = ({ question }: { readonly question: string }): string | null =>
  /^[^:]+:(c\d+)/.exec(question)?.[1] ?? null;

/** What is said of answers about several children: a line for each of them; null where they are about one at most. */
export function linesByChild<T extends { readonly question: string }>(
  answers: readonly T[],
  view: View,
  describeOne: (answer: T) => readonly Phrase[],
): readonly Phrase[] | null {
  const children = [...new Set(answers.flatMap((answer) => childOfAnswer(answer) ?? []))];
  if (children.length < 2) return null;
  return [null, ...children].flatMap((child): Phrase[] => {
    const phrases = answers.filter((answer) => childOfAnswer(answer) === child).flatMap(describeOne);
    if (phrases.length === 0) return [];
    const value: Quantity = { kind: 'list', phrases };
    return child === null
      ? [{ key: 'say.heard', values: { list: value } }]
      : [{ key: 'review.line', values: { topic: childPhrase(child, view), value } }];
  });
}
