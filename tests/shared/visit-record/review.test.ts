import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { foldVisit } from '#shared/visit-record/fold.ts';
import { recordables } from '#shared/visit-record/recordable.ts';
import { caseAsFound, caseAsLeft, caseOnDay } from '#shared/visit-record/recorded-case.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { DAY, entries, FAMILY, fact, type Given } from './entries.ts';

const slots = (...given: readonly Given[]) => foldVisit(entries(...given)).current;
const review = (...given: readonly Given[]) => reviewVisit(FAMILY, slots(...given), DAY);
const states = (found: ReturnType<typeof review>) =>
  Object.fromEntries(found.findings.map(({ finding, state }) => [finding.code, state]));

describe('a case as found', () => {
  it('is the reported one where nothing was recorded', () => {
    expect(caseAsFound(FAMILY, slots(), DAY)).toEqual(FAMILY);
    expect(reviewVisit(FAMILY, slots(), DAY).found.assessment).toEqual(assess(FAMILY));
  });

  it('takes what was measured in the place of what was reported, and judges anew', () => {
    const { found } = review(fact('children.c1.weightKg', 19), fact('children.c1.heightCm', 100));
    expect(found.case.children[0]).toMatchObject({ weightKg: 19, heightCm: 100 });
    expect(found.assessment.children[0]?.modes['rear-facing'].status).toBe('outgrown');
  });

  it('goes back to what was reported where a value is taken back', () => {
    const taken = slots(fact('children.c1.heightCm', 90), fact('children.c1.heightCm', null));
    expect(caseAsFound(FAMILY, taken, DAY).children[0]?.heightCm).toBe(86);
  });

  it('leaves out a value that a case cannot hold, and a fact of nobody', () => {
    const odd = slots(
      fact('children.c1.birthDate', '2031-01-01'),
      fact('children.zz.weightKg', 9),
      fact('uses.c1.tether', 'perhaps'),
    );
    expect(caseAsFound(FAMILY, odd, DAY)).toEqual(FAMILY);
  });

  it('takes each value that a choice offers', () => {
    for (const { path, form } of recordables(FAMILY))
      if (form.kind === 'choice')
        for (const value of form.values)
          expect(caseAsFound(FAMILY, slots(fact(path, value)), DAY), path).not.toBe(FAMILY);
  });

  it('has a child in a place of the vehicle that nobody spoke of', () => {
    const seen = caseAsFound(
      FAMILY,
      slots({ kind: 'place', stage: 'found', childId: 'c1', row: 2, side: 'center' }),
      DAY,
    );
    expect(seen.uses[0]?.positionId).toBe('p2C');
    expect(seen.vehicle?.positions?.at(-1)).toEqual({ id: 'p2C', row: 2, side: 'center', frontAirBag: 'none' });
  });

  it('lets an age told in months grow until the day of the visit', () => {
    const told = { ...FAMILY, children: [{ id: 'c1', ageMonths: 26 }] };
    expect(caseOnDay(told, '2026-05-20').children[0]?.ageMonths).toEqual({ min: 26, max: 27 });
    expect(caseOnDay(told, '2026-07-16').children[0]?.ageMonths).toBe(28);
    expect(caseOnDay(told, '2026-05-16').children[0]?.ageMonths).toBe(26);
  });
});

describe('a case as left', () => {
  it('keeps what was found where nothing was changed', () => {
    expect(caseAsLeft(FAMILY, slots(), DAY)).toEqual(FAMILY);
  });

  it('knows nothing of harness and attachment once the child was turned round, until they are seen again', () => {
    const turned = caseAsLeft(FAMILY, slots(fact('uses.c1.mode', 'rear-facing', 'left')), DAY);
    expect(turned.uses[0]).toEqual({ childId: 'c1', seatId: 's1', positionId: 'p2R', mode: 'rear-facing' });
    const seen = caseAsLeft(
      FAMILY,
      slots(fact('uses.c1.mode', 'rear-facing', 'left'), fact('uses.c1.harness.pinchable', false, 'left')),
      DAY,
    );
    expect(seen.uses[0]?.harness).toEqual({ pinchable: false });
  });

  it('has to be looked at again for movement where the seat is held another way, but keeps the harness', () => {
    const found = { ...FAMILY, uses: [{ ...FAMILY.uses[0], childId: 'c1', movementCm: 5 }] };
    const left = caseAsLeft(found, slots(fact('uses.c1.attachment', 'lower-anchors', 'left')), DAY).uses[0];
    expect(left).toMatchObject({ attachment: 'lower-anchors', tether: 'not-attached', harness: { pinchable: true } });
    expect(left?.movementCm).toBeUndefined();
  });

  it('has the seat the child leaves in, with facts of its own, and not the one it came in', () => {
    const left = caseAsLeft(
      FAMILY,
      slots(
        { kind: 'seat', childId: 'c1', seat: { id: 'v1', how: 'supplied', kind: 'convertible', description: '' } },
        fact('seats.v1.expiryDate', '2033-05', 'left'),
      ),
      DAY,
    );
    expect(left.seats).toEqual([{ id: 'v1', kind: 'convertible', description: '', expiryDate: '2033-05' }]);
    expect(left.uses[0]).toEqual({ childId: 'c1', seatId: 'v1', positionId: 'p2R', mode: undefined });
  });
});

describe('the findings of a visit', () => {
  it('stay open while nothing was done', () => {
    expect(states(review())).toMatchObject({ 'tether-not-used': 'open', 'harness-loose': 'open' });
  });

  it('are corrected by how the seat was left, without a word more', () => {
    const done = states(
      review(fact('uses.c1.tether', 'attached', 'left'), fact('uses.c1.harness.pinchable', false, 'left')),
    );
    expect(done).toMatchObject({ 'tether-not-used': 'corrected', 'harness-loose': 'corrected' });
  });

  it('are not corrected by a change alone: what was not seen again has to be seen', () => {
    expect(states(review(fact('uses.c1.mode', 'rear-facing', 'left')))).toMatchObject({
      'tether-not-used': 'corrected',
      'harness-loose': 'to-see',
    });
  });

  it('were not there where the kerb shows otherwise than was reported', () => {
    expect(states(review(fact('uses.c1.harness.pinchable', false)))).toMatchObject({ 'harness-loose': 'not-found' });
  });

  it('are what a technician says they are', () => {
    const { finding } = review().findings.find(({ finding: { code } }) => code === 'tether-not-used') ?? {};
    if (!finding) throw new Error('the tether is not used');
    const { code, childId, seatId, positionId } = finding;
    const said = review({ kind: 'finding', code, childId, seatId, positionId, verdict: 'corrected' });
    expect(states(said)['tether-not-used']).toBe('corrected');
  });
});

describe('a measured size', () => {
  // WHO 2006 and CDC 2000: no girl of two years weighs 45 kg within four standard deviations.
  it('that no child of the age has is told, until somebody confirms it', () => {
    expect(review(fact('children.c1.weightKg', 45)).implausible).toEqual([{ childId: 'c1', measure: 'weight' }]);
    expect(review(fact('children.c1.weightKg', 12)).implausible).toEqual([]);
    expect(review(fact('children.c1.weightKg', 45), fact('children.c1.sizeConfirmed', true)).implausible).toEqual([]);
  });
});
