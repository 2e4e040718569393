import { arrange, tooLarge } from '#shared/arrange.ts';
import { answerCases } from './case-lines.ts';

await answerCases((family) => {
  const error = tooLarge(family);
  return error ? { error } : JSON.stringify(arrange(family));
});
