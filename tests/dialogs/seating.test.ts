import { describe, expect, it } from 'vitest';
import type { View } from '#dialogs/questions/question.ts';
import { seatingProposal } from '#dialogs/seating.ts';
import type { Case } from '#shared/case.ts';
import { aFamily, place, type Rider } from '../shared/arranging/families.ts';

const viewOf = (family: Case): View =>
  ({ case: family, children: family.children.map(({ id }) => id), ageOf: () => null }) as unknown as View;

/** A family as the chat knows it: the places in use, with nothing known but row and side. */
const chatted = (...riders: readonly Rider[]): Case => {
  const ids = riders.flatMap(({ at }) => at ?? []);
  const plain = ids.map((id) => {
    const { row, side, frontAirBag } = place(id);
    return { id, row, side, frontAirBag };
  });
  return aFamily(riders, plain);
};

const baby = { child: 'baby', seat: 'infant', mode: 'rear-facing' } as const;
const four = { child: 'four', seat: 'harness', mode: 'forward-facing' } as const;
const seven = { child: 'seven', seat: 'booster', mode: 'booster' } as const;

describe('another way to sit, in the chat', () => {
  it('is shown where a baby rides in front of an air bag, with today beside it, and never as an order', () => {
    const { say, seating } = seatingProposal(
      viewOf(chatted({ ...baby, at: 'p1R' }, { ...four, at: 'p2L' }, { ...seven, at: 'p2R' })),
    );
    expect(say.map(({ key }) => key)).toEqual(['plan.intro', 'plan.move', 'plan.if-there']);
    expect(seating?.today.map((one) => one.place)).toEqual(['p1R', 'p2L', 'p2R']);
    expect(seating?.proposed.map((one) => one.place)).toEqual(['p2C', 'p2L', 'p2R']);
  });

  it('is not shown where today is allowed, though the middle is less exposed', () => {
    expect(seatingProposal(viewOf(chatted({ ...baby, at: 'p2R' }, { ...seven, at: 'p2L' })))).toEqual({ say: [] });
  });

  it('moves nobody where only a way of riding is wrong', () => {
    const early = { ...seven, child: { ageMonths: 20, sex: 'male', weightKg: 11, heightCm: 82 } } as const;
    const turned = { ...early, seat: 'convertible', mode: 'forward-facing', at: 'p2L' } as const;
    expect(seatingProposal(viewOf(chatted(turned, { ...seven, at: 'p2R' })))).toEqual({ say: [] });
  });

  it('brings no child to the front who does not ride there today', () => {
    const crowded = chatted(
      { ...baby, at: 'p1R' },
      { ...four, at: 'p2L' },
      { ...seven, at: 'p2C' },
      { ...seven, at: 'p2R' },
    );
    expect(seatingProposal(viewOf(crowded))).toEqual({ say: [] });
  });

  it('changes two children where one place has no tether anchor', () => {
    const family = aFamily(
      [
        { ...four, at: 'p2L' },
        { ...seven, at: 'p2R' },
        { ...seven, at: 'p2C' },
      ],
      [place('p2L', { tetherAnchor: false }), place('p2R'), place('p2C')],
    );
    const { say, seating } = seatingProposal(viewOf(family));
    expect(say.map(({ key }) => key)).toEqual(['plan.intro', 'plan.move', 'plan.move']);
    expect(seating?.proposed[0]?.place).not.toBe('p2L');
  });

  it('needs several children, and a place and a way of riding for each', () => {
    for (const family of [
      chatted({ ...baby, at: 'p1R' }),
      chatted({ ...baby, at: 'p1R' }, seven),
      chatted({ ...baby, at: 'p1R' }, { child: 'seven', seat: 'booster', at: 'p2L' }),
    ])
      expect(seatingProposal(viewOf(family))).toEqual({ say: [] });
  });
});
