import { z } from 'zod';
import type { FindingState, Review } from '../visit-record/review.ts';

export const SEEN_VERDICTS = ['confirmed', 'not-found', 'corrected'] as const;

const seenSchema = z.strictObject({
  code: z.string(),
  childId: z.string().nullable(),
  seatId: z.string().nullable(),
  verdict: z.enum(SEEN_VERDICTS),
});

export const seenListSchema = z.array(seenSchema);

/** What a visit made of one finding. */
export type Seen = z.infer<typeof seenSchema>;

const VERDICT_OF: Readonly<Record<FindingState, Seen['verdict'] | null>> = {
  open: 'confirmed',
  corrected: 'corrected',
  'not-found': 'not-found',
  'to-see': null,
};

/** What a report counts of a visit: each finding to correct with what became of it, those left out that nobody could tell. */
export const seenIn = ({ findings }: Pick<Review, 'findings'>): readonly Seen[] =>
  findings.flatMap(({ finding: { code, childId, seatId, urgency }, state }) => {
    const verdict = VERDICT_OF[state];
    return verdict === null || urgency === 'plan-ahead' ? [] : [{ code, childId, seatId, verdict }];
  });
