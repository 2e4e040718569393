import type { Found } from './found.ts';
import { fold } from './normalise.ts';
import type { Hit } from './patterns.ts';
import { isClearlyTakenBack } from './taken-back.ts';
import type { Answer, AskedSlot, Intent, Language } from './types.ts';
import { hitsOf, type Message, wordsOutside } from './words.ts';

/** Past "well", "um", "pues": words before an answer that say nothing. */
const pastFillers = (message: Message): number => {
  const fillers = hitsOf(message, 'cue', 'filler');
  let at = 0;
  for (;;) {
    const end = fillers.find(({ start }) => start === at)?.end;
    if (end !== undefined) at = end;
    else if (at > 0 && message.tokens[at]?.kind === 'mark') at += 1;
    else return at;
  }
};

/** Yes, no or unsure; a first word and a later one that disagree are read back. */
export const readAnswer = (message: Message): Found<Answer> | null => {
  const hits = hitsOf(message, 'answer');
  const inside = (hit: Hit) =>
    hits.some(({ start, end, name }) => name !== 'unsure' && start <= hit.start && end >= hit.end);
  // "no, nunca pasó": after a plain answer a word for "skip" is none.
  const [opener] = hits;
  const plainly =
    opener !== undefined &&
    opener.start <= pastFillers(message) &&
    opener.name !== 'unsure' &&
    isPlain(message, opener);
  const unsure = [...hits, ...(plainly ? [] : hitsOf(message, 'intent'))].find(
    (hit) => hit.name === 'unsure' && !inside(hit),
  );
  const denied = new Set(hitsOf(message, 'relation', 'not').map(({ end }) => end));
  // "não entendi" asks for help, and says no to nothing.
  const asides = hitsOf(message, 'intent').filter(({ name }) => name !== 'unsure');
  // "no problem", "pas de souci", "稍等": manners, and no answer.
  const manners = hitsOf(message, 'cue', 'courtesy');
  const isMere = (hit: Hit) => manners.some(({ start, end }) => start < hit.end && end > hit.start);
  const isAside = (hit: Hit) =>
    isMere(hit) ||
    asides.some(({ start, end }) => start <= hit.start && end >= hit.end && end - start > hit.end - hit.start);
  const noes = new Set(hits.filter(({ name }) => name === 'no').map(({ end }) => end));
  const plain = hits.filter(
    (hit) =>
      hit.name !== 'unsure' && !isAside(hit) && !(hit.name === 'yes' && denied.has(hit.start) && !noes.has(hit.start)),
  );
  const [first] = plain;
  // "chắc có", "parang oo": likely yes.
  const hedged = unsure && unsure.end - unsure.start <= 2 ? plain.find(({ start }) => start === unsure.end) : undefined;
  if (hedged?.end === message.tokens.length) return { value: hedged.name as Answer, doubtful: true };
  if (unsure) {
    // "i do not know" holds no "i do".
    const settled = first && first.end <= unsure.start && first.name === 'yes';
    return { value: 'unsure', doubtful: Boolean(settled) };
  }
  if (!first) return null;
  // "no tengo cómo saberlo", "没办法知道": what cannot be known is not denied.
  const marks = (from: number, to: number) => message.tokens.slice(from, to).some(({ kind }) => kind === 'mark');
  const inNo = (start: number) => plain.some((hit) => hit.name === 'no' && start >= hit.start && start < hit.end);
  const knowing = hitsOf(message, 'cue', 'knowing').filter(({ start }) => !inNo(start));
  const unknowable = knowing.some(({ start }) => start >= first.end && !marks(first.end, start));
  if (first.name === 'no' && unknowable) return { value: 'unsure', doubtful: plain.some(({ name }) => name === 'yes') };
  const last = plain.at(-1);
  // "no, wait, yes"
  if (last && last.name !== first.name && isClearlyTakenBack(message, first.end, last.start))
    return { value: last.name as Answer, doubtful: true };
  // "no, it's new": what follows a plain answer and a pause is no other answer, unless it is as plain.
  const pauses =
    first.start <= pastFillers(message) && isPlain(message, first) && message.tokens[first.end]?.kind === 'mark';
  const disagree = plain.some((hit) => hit.name !== first.name && (!pauses || isPlain(message, hit)));
  const hedges =
    manners.length > 0 ||
    deniesVerb(message, first) ||
    (first.name === 'yes' &&
      (hitsOf(message, 'relation', 'hedge').length > 0 || hitsOf(message, 'cue', 'partly').length > 0));
  return { value: first.name as Answer, doubtful: disagree || hedges || !answersPlainly(message, plain) };
};

const MOST_BESIDE_A_DENIAL = 2;

/** "no tengo tiempo": where the word for "no" also denies verbs, it may deny one that is about something else. */
const deniesVerb = (message: Message, { name, start, end }: Hit): boolean => {
  const { answers, relations } = message.vocabulary.lexicon;
  const [no] = answers.no;
  const isBare =
    name === 'no' && start === 0 && end === 1 && relations.not[0] === no && message.tokens[0]?.text === fold(no ?? '');
  const goesOn = message.tokens[end]?.kind === 'word';
  return isBare && goesOn && wordsOutside(message, (group) => group === 'answer') > MOST_BESIDE_A_DENIAL;
};

const PLAIN_WORDS = 5;
const MOST_AROUND = 1;
const MOST_BEFORE_A_PLAIN_WORD = 3;

/** "yes", "no" and their nearest kin, the first of the lexicon. */
const isPlain = (message: Message, { name, pattern }: Hit): boolean => {
  const said = pattern.words.map(({ raw }) => raw).join('');
  const plain = message.vocabulary.lexicon.answers[name as Answer].slice(0, PLAIN_WORDS);
  // "non pa gen" begins with a plain no.
  const opens = pattern.words[0]?.raw ?? '';
  return plain.some((phrase) => [said, opens].includes(phrase.replace(/[# ]/g, '').toLowerCase()));
};

/** Whether the words are the answer, not a part of a sentence about something else ("she is sleeping right now"). */
const answersPlainly = (message: Message, hits: readonly Hit[]): boolean => {
  const around = wordsOutside(message, (group) => group === 'answer' || group === 'relation');
  const [first] = hits;
  if (first !== undefined && first.start <= pastFillers(message) && isPlain(message, first)) return true;
  const closes = hits.some((hit) => isPlain(message, hit) && hit.end === message.tokens.length);
  if (closes && around <= MOST_BEFORE_A_PLAIN_WORD) return true;
  // "it does", "she is": short for a whole sentence only where nothing follows.
  const short = first !== undefined && first.start === 0 && first.end - first.start > 1;
  return around <= (short ? 0 : MOST_AROUND);
};

const RANK: readonly Intent[] = ['delete', 'restart', 'person', 'change', 'back', 'repeat', 'why', 'help', 'unsure'];
const FEW_WORDS = 3;
const KEPT_BESIDE_VALUES: readonly Intent[] = ['delete', 'restart', 'person', 'why', 'repeat'];

/** How many words that nobody knows may stand beside a wish. */
const MOST_STRANGE: Readonly<Record<Intent, number>> = {
  back: 2,
  repeat: 3,
  unsure: 3,
  person: 3,
  help: 4,
  why: 4,
  delete: 4,
  restart: 4,
  change: 5,
};

const MOST_BESIDE_A_HEDGE = 2;

const isHedge = (message: Message, start: number, end: number): boolean =>
  hitsOf(message, 'relation', 'hedge').some((hit) => hit.start <= start && hit.end >= end);

/** What the caregiver wants of the conversation itself. One word alone counts only in a short message. */
export const readIntent = (message: Message, hasValues: boolean, answered: boolean): Intent | null => {
  const words = message.tokens.filter(({ kind, opensWord }) => kind === 'word' && opensWord).length;
  const unsure = hasValues ? [] : hitsOf(message, 'answer', 'unsure');
  const found = [...hitsOf(message, 'intent'), ...unsure].filter(({ start, end, name }) => {
    const long = end - start >= 2;
    // "nó quay lại cười": somebody else goes back.
    if (name === 'back' && hitsOf(message, 'cue', 'this-child').some((hit) => hit.end <= start)) return false;
    // "de espaldas, como dijo el doctor"
    const asks = (message.hits[end] ?? []).some(({ group }) => group === 'language-request' || group === 'intent');
    const goesOn = message.tokens[end]?.kind === 'word' && !asks;
    if (hasValues && name === 'repeat' && goesOn) return false;
    if (hasValues && !(long && KEPT_BESIDE_VALUES.includes(name as Intent)) && !(name === 'unsure' && !answered))
      return false;
    // "the label is erased"; "I think it is on the side"
    const oneWord = message.tokens.slice(start, end).filter(({ opensWord }) => opensWord).length < 2;
    if (oneWord && name === 'delete' && hitsOf(message, 'cue', 'seat', 'made').length > 0) return false;
    if (name === 'unsure' && words - (end - start) > MOST_BESIDE_A_HEDGE && isHedge(message, start, end)) return false;
    const ends = start === 0 || !message.tokens.slice(end).some(({ kind }) => kind === 'word');
    const most = (name === 'delete' || name === 'restart') && ends ? 2 * FEW_WORDS : FEW_WORDS;
    // "do i have to say that? why"
    const closes =
      name === 'why' && words <= 3 * FEW_WORDS && !message.tokens.slice(end).some(({ kind }) => kind === 'word');
    return long || closes || words <= most || (start === 0 && words <= FEW_WORDS + 2);
  });
  const isMark = (at: number) => message.tokens[at] === undefined || message.tokens[at]?.kind === 'mark';
  const opens = found.find(({ name, start, end }) => name === 'back' && isMark(start - 1) && isMark(end));
  // "back, I pressed the wrong button"
  const meant =
    opens && found.some(({ name }) => name === 'change')
      ? 'back'
      : (RANK.find((intent) => found.some(({ name }) => name === intent)) ?? null);
  // Among many words that nobody knows the phrase is likelier a part of another sentence.
  const outside = (at: number) => !found.some(({ name, start, end }) => name === meant && at >= start && at < end);
  const strange = meant === null || hasValues ? 0 : wordsOutside(message, () => true, outside);
  // "go back I pressed the wrong thing"
  const leads = found.some(({ name, start, end }) => name === meant && meant === 'back' && start === 0 && end > 1);
  return meant !== null && strange > MOST_STRANGE[meant] + (leads ? MOST_BESIDE_A_HEDGE : 0) ? null : meant;
};

const SHORT_MESSAGE = 4;

/** The language asked for: any name of one where the language was the question, else only in a request. */
export const readLanguage = (message: Message, asked: AskedSlot | null): Found<Language> | null => {
  const negated = new Set(hitsOf(message, 'relation', 'not').map(({ end }) => end));
  const hits = hitsOf(message, 'language').filter(({ start }) => !negated.has(start));
  const last = hits.at(-1);
  if (!last) return null;
  const words = message.tokens.filter(({ kind }) => kind === 'word').length;
  const covered = last.end - last.start;
  const requested = hitsOf(message, 'language-request').length > 0;
  if (asked !== 'language' && !requested && words > Math.max(SHORT_MESSAGE, covered)) return null;
  // "my husband speaks English" asks for nothing.
  const others = hitsOf(message, 'cue', 'other-child', 'elsewhere').filter(
    ({ name, end }) => name === 'other-child' || end <= last.start,
  );
  const said = asked !== 'language' && others.length > 0;
  return { value: last.name as Language, doubtful: said || new Set(hits.map(({ name }) => name)).size > 1 };
};
