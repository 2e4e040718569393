import type { Arrangement } from '#shared/arrange.ts';
import { arrange, tooLarge } from '#shared/arrange.ts';
import { withUsualPlaces } from '#shared/arranging/usual-places.ts';
import { childPhrase } from './describe.ts';
import { PLACES } from './questions/position.ts';
import type { View } from './questions/question.ts';
import type { Phrase, Quantity, Seating } from './reply.ts';

const KNOWN: ReadonlySet<string> = new Set(PLACES);

interface Proposal {
  readonly plan: Arrangement;
  readonly undescribed: boolean;
}

/**
 * A plan to show beside today's: where several children share the vehicle, all ride at known places, and somebody would
 * have to change places for a plan that is allowed, or better for how a child rides. A mere step to a less exposed place is
 * not worth a word. Never a plan that brings a child to the front who is not there today, or that exchanges seats: that is
 * for the visit.
 */
const propose = ({ case: told }: View): Proposal | null => {
  if (told.children.length < 2 || told.uses.length < told.children.length) return null;
  if (!told.uses.every(({ positionId, mode }) => positionId != null && KNOWN.has(positionId) && mode != null))
    return null;
  const { family, added } = withUsualPlaces(told);
  if (tooLarge(family)) return null;
  const plan = arrange(family, { staying: true, ownSeats: true }).arrangements.find(({ places, reasons }) => {
    const useOf = (childId: string) => told.uses.find((use) => use.childId === childId);
    return (
      !reasons.includes('seats-exchanged') &&
      places.every(
        ({ childId, positionId }) =>
          KNOWN.has(positionId) && (!positionId.startsWith('p1') || useOf(childId)?.positionId === positionId),
      )
    );
  });
  if (!plan) return null;
  const moves = plan.places.some(
    ({ childId, positionId }) => told.uses.find((use) => use.childId === childId)?.positionId !== positionId,
  );
  if (!moves) return null;
  return { plan, undescribed: plan.places.some(({ positionId }) => added.has(positionId)) };
};

const placePhrase = (positionId: string): Phrase => ({ key: `choice.position.${positionId}` });

/** Another way to sit: what is said of it, for every channel, and both maps, for those that can draw. */
export const seatingProposal = (view: View): { readonly say: readonly Phrase[]; readonly seating?: Seating } => {
  const proposal = propose(view);
  if (!proposal) return { say: [] };
  const { plan, undescribed } = proposal;
  const useOf = (childId: string) => view.case.uses.find((use) => use.childId === childId);
  const moves = plan.places.flatMap(({ childId, positionId, mode }): Phrase[] => {
    const use = useOf(childId);
    if (!use?.positionId || use.positionId === positionId) return [];
    const place: Quantity =
      use.mode === mode
        ? { kind: 'phrase', phrase: placePhrase(positionId) }
        : { kind: 'list', phrases: [placePhrase(positionId), { key: `choice.riding-mode.${mode}` }] };
    const today: Quantity = { kind: 'phrase', phrase: placePhrase(use.positionId) };
    return [{ key: 'plan.move', values: { child: childPhrase(childId, view), today, place } }];
  });
  const who = (childId: string): Phrase => ({ key: 'plan.who', values: { child: childPhrase(childId, view) } });
  return {
    say: [{ key: 'plan.intro' }, ...moves, ...(undescribed ? [{ key: 'plan.if-there' }] : [])],
    seating: {
      today: view.case.uses.map(({ childId, positionId }) => ({ place: positionId ?? '', who: who(childId) })),
      proposed: plan.places.map(({ childId, positionId }) => ({ place: positionId, who: who(childId) })),
    },
  };
};
