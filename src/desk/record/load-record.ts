import type { Case } from '#shared/case.ts';
import type { VisitEntry } from '#shared/visit-record/entries.ts';
import { foldVisit, type VisitRecord } from '#shared/visit-record/fold.ts';
import { type Review, reviewVisit } from '#shared/visit-record/review.ts';
import { StoreError } from '#src/store/store-error.ts';
import { verifyFirst } from '#src/turns/summary.ts';
import { type CaseView, caseView } from '../case-view.ts';
import type { DeskDeps } from '../deps.ts';
import { otherCarsOf } from '../other-cars.ts';

/** The record of a visit with all that is shown of it. */
export interface RecordView extends CaseView {
  readonly reference: string;
  readonly conversationId: string;
  /** References of the cases of the family's other cars, each with a record of its own. */
  readonly otherCars: readonly string[];
  /** The facts as the family told them: those of the day of the sign-off, once there was one. */
  readonly reported: Case;
  /** The facts as the family tells them now. */
  readonly told: Case;
  readonly entries: readonly VisitEntry[];
  readonly record: VisitRecord;
  readonly review: Review;
}

export type LoadedRecord =
  | { readonly state: 'found'; readonly view: RecordView }
  | { readonly state: 'gone' }
  | { readonly state: 'unreadable' };

/** Whether the error says that stored data cannot be used, which waiting does not mend. */
const isDamage = (error: unknown): boolean => error instanceof StoreError && error.name === 'StoreError';

/** Reads a case with what technicians recorded of it, and judges it anew. `summary` is the case as left, judged as found. */
export async function loadRecord(
  { store, words, clock }: DeskDeps,
  reference: string,
  language: string,
): Promise<LoadedRecord> {
  const found = await store.cases.byReference(reference);
  if (found.state === 'missing') return { state: 'gone' };
  if (found.state === 'unreadable') return { state: 'unreadable' };
  const { summary, conversationId } = found;
  const entries = await store.visits.of(reference).catch((error: unknown) => {
    if (isDamage(error)) return null;
    throw error;
  });
  if (!entries) return { state: 'unreadable' };
  const record = foldVisit(entries);
  const reported = record.signed?.reported ?? summary.case;
  const day = (record.begun ?? clock().toISOString()).slice(0, 10);
  const review = reviewVisit(reported, record.current, day);
  const event = summary.event === null ? null : await store.events.byId(summary.event);
  const { assessment } = review.found;
  const judged = { ...summary, case: review.left.case, assessment, verifyFirst: verifyFirst(assessment) };
  const view = caseView(judged, event, words, language);
  const otherCars = await otherCarsOf(store.cases, { reference, conversationId });
  return {
    state: 'found',
    view: { ...view, reference, conversationId, otherCars, reported, told: summary.case, entries, record, review },
  };
}
