import { isBrief } from '../brief.ts';
import { childFact, childOf, facts, perChild, type Question, UNSURE } from './question.ts';

const LONGEST = 40;
/** "We don't need a name", in as many words. */
const LONGEST_SKIP = 5;

/** The last two names of a list: a short word between them, whatever "and" is called, or one written onto a name. */
const LINKED: readonly RegExp[] = [
  /^(\S+)\s+\p{L}{1,3}\s+(\S+)$/u,
  /^(\p{Script=Arabic}+)\s+و(\p{Script=Arabic}{2,})$/u,
  /^(\p{Script=Han}+?)[和跟与](\p{Script=Han}+)$/u,
  /^(\p{Script=Hangul}+?)(?:하고|이랑|랑|과|와)\s+(\p{Script=Hangul}+)$/u,
];

const unlinked = (part: string): readonly string[] =>
  LINKED.map((pattern) => pattern.exec(part)?.slice(1)).find((names) => names !== undefined) ?? [part];

/** As many names as there are children, or null: parted by commas, signs or lines, the last two perhaps by a word. */
function namesIn(text: string, count: number): readonly string[] | null {
  const parts = text
    .trim()
    .split(/\s*[,;&+\n\u060c\u3001\uff0c]\s*/u)
    .filter(Boolean);
  const names = parts.flatMap(unlinked);
  const fit = names.length === count && names.every((name) => /^\p{L}[\p{L}\p{M}\s'’-]*$/u.test(name));
  return fit ? names.map((name) => name.trim().slice(0, LONGEST)) : null;
}

/** A nickname, so that two children are not mixed up; never needed for one. */
export const childName: Question = {
  id: 'child-name',
  core: true,
  slot: null,
  numeric: true,
  deaf: ['jurisdiction', 'mode', 'seatKind', 'vehicleYear', 'date', 'language'],
  subjects: perChild((_, view) => view.children.length > 1),
  facts: (subject) => [childFact(childOf(subject), 'name')],
  choices: () => ['no-name'],
  choose: () => UNSURE,
  words: 'child-name',
  hear: ({ text, reading, named }, subject, view) => {
    const skips = (named.includes('no-name') && isBrief(text, LONGEST_SKIP)) || /\bno-name\b/i.test(text);
    if (reading.intent === 'unsure' || skips) return UNSURE;
    const nameless = view.children.filter((child) => !view.known(childFact(child, 'name')));
    const all = nameless.length > 1 ? namesIn(text, nameless.length) : null;
    if (all) return facts(Object.fromEntries(nameless.map((child, i) => [childFact(child, 'name'), all[i] as string])));
    const [first = ''] = text.trim().split(/[,;.\n]|\s(?=\d)/);
    const name = first.trim().slice(0, LONGEST);
    return name ? facts({ [childFact(childOf(subject), 'name')]: name }) : null;
  },
  // Once an age is known the names have to go with the ages, so they are asked one by one.
  wording: (_, view) =>
    view.children.every((child) => !view.known(childFact(child, 'name')) && view.ageOf(child) === null)
      ? 'child-names'
      : 'child-name',
};
