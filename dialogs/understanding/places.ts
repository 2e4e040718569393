import type { Found } from './found.ts';
import type { Scope } from './scope.ts';
import { isClearlyTakenBack } from './taken-back.ts';
import type { AskedSlot } from './types.ts';
import { hitsOf, type Message, wordsOutside } from './words.ts';

interface Named {
  readonly state: string;
  readonly start: number;
  readonly end: number;
  readonly doubtful: boolean;
}

const ZIP_LENGTH = 5;

/** A postal code in letters: capitals, or the last word after a town. Many are words too ("in", "la"), so context decides. */
const codeAt = (message: Message, at: number, codes: ReadonlySet<string>, asked: AskedSlot | null): Named | null => {
  const token = message.tokens[at];
  if (token?.kind !== 'word' || token.raw.length !== 2 || !codes.has(token.raw)) return null;
  const found = { state: `US-${token.text.toUpperCase()}`, start: at, end: at + 1, doubtful: false };
  const before = message.tokens[at - 1];
  const after = message.tokens[at + 1];
  const words = message.tokens.filter(({ kind }) => kind === 'word');
  const shouting = words.length > 2 && words.every(({ capitals, text }) => capitals || text.length === 1);
  const capital = token.capitals && !shouting;
  if (after?.kind === 'number' && after.text.length === ZIP_LENGTH && before) return found;
  const last = after === undefined || (after.kind === 'mark' && after.text !== "'");
  const behindComma = before?.kind === 'mark' && before.text === ',';
  const isWord = message.vocabulary.known.has(token.text) || (message.hits[at] ?? []).length > 0;
  if (asked === 'place') {
    if (words.length === 1) return { ...found, doubtful: isWord && !token.capitals };
    if (capital || (behindComma && last)) return found;
    return last && before?.kind === 'word' && (!isWord || !message.vocabulary.known.has(before.text)) ? found : null;
  }
  if (capital && (behindComma || (before?.kind === 'word' && !isWord))) return found;
  if (isWord || !last) return null;
  // Small letters may be a word of a language mixed in ("hola mi"): only behind a town that somebody lives in.
  const town = message.tokens[behindComma ? at - 2 : at - 1];
  const isTown = town?.kind === 'word' && !message.vocabulary.known.has(town.text) && town.text.length > 3;
  return isTown && hitsOf(message, 'cue', 'residence').length > 0 ? found : null;
};

const MOST_OF_A_TOWN = 3;
/** What may be told in one breath with a place and says nothing of whose it is. */
const BESIDE_A_STATE = new Set([
  'state',
  'number',
  'unit',
  'quantity',
  'mode',
  'kind',
  'feature',
  'month',
  'date-after',
]);

/** Whether a state is said of the family: "we live in", or it stands alone; null where it is somebody else's place. */
const isOurs = (message: Message, scope: Scope, { start }: Named): boolean | null => {
  const inClause = (at: number) => scope.clause[at] === scope.clause[start];
  const lives = hitsOf(message, 'cue', 'residence').find((hit) => scope.sentence[hit.start] === scope.sentence[start]);
  const away = hitsOf(message, 'cue', 'elsewhere').find((hit) => inClause(hit.start));
  // "my sister who lives in Texas", "we live in Texas near my sister"
  if (lives && !away) return true;
  if (away || scope.other[start]) return lives && away && lives.start < away.start ? false : null;
  // "next week we go to Florida"
  const ahead = hitsOf(message, 'relation', 'turning').some(
    (hit) => scope.sentence[hit.start] === scope.sentence[start],
  );
  if (ahead && !lives) return false;
  const told = hitsOf(message, 'cue', 'vehicle', 'this-child', 'seat', 'age', 'weight', 'height');
  const strange = (at: number) => inClause(at) && !told.some((hit) => at >= hit.start && at < hit.end);
  return lives !== undefined || wordsOutside(message, (group) => BESIDE_A_STATE.has(group), strange) <= MOST_OF_A_TOWN;
};

/** The state or district named, as US-XX; a town's name before it is passed over. */
export const readPlace = (message: Message, scope: Scope, asked: AskedSlot | null): Found<string> | null => {
  const codes = message.vocabulary.stateCodes;
  // "ايوا" is a yes, and Iowa.
  const words = message.tokens.filter(({ kind }) => kind === 'word').length;
  const answers = asked === 'yes-no' || (asked !== 'place' && words === 1) ? hitsOf(message, 'answer') : [];
  const states = hitsOf(message, 'state').filter(
    (hit) => !answers.some(({ start, end }) => start === hit.start && end === hit.end),
  );
  const named: Named[] = states.map(({ name, start, end }) => ({
    state: name,
    start,
    end,
    doubtful: false,
  }));
  for (const at of message.tokens.keys()) {
    const code = codeAt(message, at, codes, asked);
    if (code && !named.some(({ start, end }) => start <= at && end > at)) named.push(code);
  }
  // "内布拉斯加州": a name that begins inside a longer one is no other.
  const inner = named.filter((each) => named.some(({ start, end }) => start < each.start && end > each.start));
  for (const each of inner) named.splice(named.indexOf(each), 1);
  named.sort((a, b) => a.start - b.start);
  const ours = new Map(named.map((each) => [each, isOurs(message, scope, each)]));
  const lives = (each: Named) =>
    hitsOf(message, 'cue', 'residence').some(({ start }) => scope.clause[start] === scope.clause[each.start]);
  const own = named.filter((each) => ours.get(each) === true);
  // "I work in DC, we live in Maryland"
  const settled = own.some(lives) ? own.filter(lives) : own;
  const near = named.filter((each) => ours.get(each) !== null);
  const used = settled.length > 0 ? settled : near.length > 0 || asked !== 'place' ? near : named;
  const last = used.at(-1);
  if (!last) return null;
  // "Virginia Beach, Virginia" names one place; "from Texas to Colorado" two.
  const between = (end: number) => message.tokens.slice(end, last.start);
  const apart = used.some(
    ({ state, end }) =>
      state !== last.state && (last.start - end > 2 || between(end).some(({ kind }) => kind === 'word')),
  );
  // "we lived in Texas but now live in Oklahoma"
  const before = used.at(-2);
  const from = before === undefined ? 0 : (scope.clause[before.end - 1] ?? 0) + 1;
  const turned =
    ours.get(last) === true &&
    [...scope.turns].some((clause) => clause >= from && clause <= (scope.clause[last.start] ?? 0));
  const mended = before !== undefined && isClearlyTakenBack(message, before.end, last.start);
  // "we moved from Ohio to Kentucky"
  const inSentence = ({ start }: { readonly start: number }) => scope.sentence[start] === scope.sentence[last.start];
  const moved =
    used.length === 2 &&
    hitsOf(message, 'cue', 'moved').some(inSentence) &&
    !hitsOf(message, 'relation', 'turning').some(inSentence);
  const away = !moved && ours.get(last) !== true && (asked !== 'place' || ours.get(last) === null);
  return { value: last.state, doubtful: last.doubtful || (apart && !turned && !mended && !moved) || away };
};
