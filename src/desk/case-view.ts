import type { Assessment } from '#shared/assessment.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { CheckEvent } from '#src/store/events.ts';
import type { Words } from '#src/words/words.ts';
import { type CaseNames, caseNames } from './case-names.ts';
import { unitsFor } from './measures.ts';
import { createVoice, type Voice } from './voice.ts';

export type Judged = Assessment['children'][number];

/** All that the parts of a case page draw on. */
export interface CaseView {
  readonly summary: PreVisitSummary;
  readonly event: CheckEvent | null;
  readonly voice: Voice;
  readonly names: CaseNames;
}

/** A case in the desk's language, with the units of its place first. */
export function caseView(summary: PreVisitSummary, event: CheckEvent | null, words: Words, language: string): CaseView {
  const voice = createVoice(words, language, unitsFor(summary.case.jurisdiction));
  return { summary, event, voice, names: caseNames(summary.case, voice) };
}
