import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import { parseCase } from '#shared/case.ts';
import { factWords } from '#src/desk/fact-words.ts';
import { createVoice } from '#src/desk/voice.ts';
import { createWords } from '#src/words/words.ts';

const words = createWords();
const voice = createVoice(words, 'en', 'us');

function family() {
  const parsed = parseCase({
    asOf: '2026-05-16',
    jurisdiction: 'US-WA',
    children: [{ id: 'c.1', name: 'Wren', ageMonths: { min: 24, max: 35 } }],
    seats: [
      {
        id: 's1',
        description: 'the grey one',
        modes: { 'rear-facing': { maxWeightKg: 18.1436948, maxHeightCm: null } },
        lowerAnchorLimitKg: { 'rear-facing': 15.875732950000002 },
        expiryDate: '2027-05',
      },
    ],
    vehicle: { positions: [{ id: 'p', row: 2, side: 'right', frontAirBag: 'none' }] },
    uses: [{ childId: 'c.1', seatId: 's1', positionId: 'p', mode: 'rear-facing', harness: { straps: 'below' } }],
  });
  if (!parsed.ok) throw new Error(parsed.error.message);
  return parsed.case;
}

describe('a fact in words', () => {
  it.each([
    ['children.c.1.ageMonths', 'Wren', 'age', '24–35 months'],
    ['children.c.1.weightKg', 'Wren', 'weight', null],
    ['uses.c.1.harness.straps', 'Wren', 'harness straps', 'below the shoulders'],
    ['uses.c.1.mode', 'Wren', 'way of riding', 'rear-facing'],
    ['seats.s1.expiryDate', 'Seat 1', 'expiry', 'May 2027'],
    [
      'seats.s1.modes.rear-facing.maxWeightKg',
      'Seat 1',
      'maximum weight on the label (rear-facing)',
      '40 lb (18.1 kg)',
    ],
    [
      'seats.s1.modes.rear-facing.maxHeightCm',
      'Seat 1',
      'maximum height on the label (rear-facing)',
      'no such limit on the label',
    ],
    ['seats.s1.modes.rear-facing.minWeightKg', 'Seat 1', 'minimum weight on the label (rear-facing)', null],
    ['seats.s1.lowerAnchorLimitKg.rear-facing', 'Seat 1', 'lower anchor limit (rear-facing)', '35 lb (15.9 kg)'],
    ['vehicle.positions.p.frontAirBag', 'row 2, right', 'frontal air bag', 'none'],
    ['vehicle.modelYear', 'vehicle', 'model year', null],
    ['children.c.1.lawFacts.lap-belt-only', 'Wren', 'exception of the law: only a lap belt there', null],
    ['children.c.1.belt-fit', 'Wren', 'how the seat belt fits', null],
    ['something.new', null, 'new', null],
  ])('%s', (path, owner, label, value) => {
    expect(factWords(path, family(), voice)).toEqual({ owner, label, value });
  });

  it.each(['en', 'es'])('there are words in %s for every fact the rules leave open for an empty family', (language) => {
    const facts = family();
    const inLanguage = createVoice(words, language, 'us');
    for (const mode of ['rear-facing', 'forward-facing', 'booster', 'seat-belt'] as const) {
      const bare = {
        ...facts,
        jurisdiction: 'US-CA',
        children: [{ id: 'c.1' }],
        seats: [{ id: 's1' }],
        vehicle: { positions: [{ id: 'p' }] },
        uses: [{ childId: 'c.1', seatId: 's1', positionId: 'p', mode }],
      };
      const { unknowns, children } = assess(bare);
      const paths = [...unknowns.map(({ fact }) => fact), ...children.flatMap(({ advice }) => advice.needs)];
      expect(paths.length).toBeGreaterThan(20);
      for (const path of paths) {
        const { label } = factWords(path, bare, inLanguage);
        // A label that is still a code has no blank, a capital inside or a hyphen.
        expect(label, path).not.toMatch(/^[a-z]+[A-Z]\w*$|^[a-z]+(-[a-z]+)+$/);
      }
    }
  });
});
