import type { FindingCode } from '#shared/finding-codes.ts';
import { type ParameterId, parameter } from '#shared/parameters/parameters.ts';
import type { Values, Words } from '#src/words/words.ts';
import { createMeasures, type Measures, type Units } from './measures.ts';

type DeskFile = typeof import('#locales/en/desk.json', { with: { type: 'json' }});
type Leaf<Group extends keyof DeskFile> = `${Group}.${keyof DeskFile[Group] & string}`;
type WithoutPlural<Key> = Key extends `${infer Base}_${'one' | 'other'}` ? Base : Key;

/** A key of `locales/<language>/desk.json`. */
export type DeskKey = WithoutPlural<{ [Group in keyof DeskFile]: Leaf<Group> }[keyof DeskFile]>;

/** The desk in one language. */
export interface Voice {
  readonly language: string;
  say(key: DeskKey, values?: Values): string;
  /** A word for a code that may come from stored data; the code itself where there is no word for it. */
  name(group: keyof DeskFile, code: string): string;
  /** A choice that a caregiver was offered, in the words of the conversation; its id where they have none. */
  choice(asking: string, id: string): string;
  /** A finding for a technician, with the values of its rule. */
  finding(code: FindingCode): { readonly title: string; readonly text: string };
  readonly measures: Measures;
}

const RULE_VALUES: Readonly<Record<string, ParameterId>> = {
  forwardFacingMinWeight: 'forward-facing-min-weight',
  boosterMinWeight: 'booster-min-weight',
  boosterMinAge: 'booster-min-age',
  beltMinHeight: 'belt-min-height',
  beltMinAge: 'belt-min-age',
  rearSeatUntil: 'rear-seat-under-age',
  movementMax: 'max-movement',
  headClearanceMin: 'min-head-clearance',
};

/** Choices that every question words alike. */
const SHARED_CHOICES = new Set(['yes', 'no', 'unsure', 'none', 'no-label', 'not-found', 'skip']);

const inWords = (id: ParameterId, measures: Measures): string => {
  const value = parameter(id);
  if (id.endsWith('-age')) return measures.age(value);
  return id.endsWith('-weight') ? measures.weight(value) : measures.length(value);
};

/** `units` is the system said first. */
export function createVoice(words: Words, language: string, units: Units): Voice {
  const desk = words.say(language, 'desk');
  const chat = words.say(language, 'chat');
  const findings = words.say(language, 'findings-technician');
  const measures = createMeasures(language, units);
  const ruleValues = Object.fromEntries(Object.entries(RULE_VALUES).map(([name, id]) => [name, inWords(id, measures)]));
  return {
    language,
    say: (key, values) => desk(key, values),
    name: (group, code) => (words.has('desk', `${group}.${code}`) ? desk(`${group}.${code}`) : code),
    choice: (asking, id) => {
      const own = `choice.${asking}.${id}`;
      if (words.has('chat', own)) return chat(own);
      return SHARED_CHOICES.has(id) ? chat(`choice.${id}`) : id;
    },
    finding: (code) => ({ title: findings(`${code}.title`), text: findings(`${code}.technician`, ruleValues) }),
    measures,
  };
}
