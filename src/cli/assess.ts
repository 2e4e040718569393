import { assess } from '#shared/assess.ts';
import { explain } from '#shared/explain.ts';
import { answerCases } from './case-lines.ts';
import { printExplanation } from './explanation-text.ts';

const readably = process.argv.includes('--explain');
await answerCases((family) => {
  const assessment = assess(family);
  return readably ? printExplanation(explain(assessment)) : JSON.stringify(assessment);
});
