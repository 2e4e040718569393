import type { Hit } from './patterns.ts';
import type { Scope } from './scope.ts';
import { hitsOf, type Message } from './words.ts';

const inSentence = (message: Message, scope: Scope, hit: Hit, ...cues: readonly string[]): boolean =>
  hitsOf(message, 'cue', ...cues).some(
    ({ start, end }) => scope.sentence[start] === scope.sentence[hit.start] && !(start <= hit.start && end >= hit.end),
  );

/** Whether a part of a sentence ends in a question mark. */
export const isQuestion = ({ tokens }: Message, scope: Scope, at: number): boolean => {
  for (let index = at; index < tokens.length; index++) {
    if (tokens[index]?.kind === 'mark' && tokens[index]?.text === '?') return true;
    if (scope.sentence[index] !== scope.sentence[at]) return false;
  }
  return false;
};

/** A way of riding asked after, meant for later ("when she turns two") or used only at times: to be read back. */
export const isWavering = (message: Message, scope: Scope, hit: Hit): boolean => {
  const later = hitsOf(message, 'cue', 'future').some(
    ({ start }) => start < hit.start && scope.clause[start] === scope.clause[hit.start],
  );
  return later || isQuestion(message, scope, hit.start) || inSentence(message, scope, hit, 'question', 'partly');
};
