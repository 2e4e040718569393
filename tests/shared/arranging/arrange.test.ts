import { describe, expect, it } from 'vitest';
import { arrange, arrangementsSchema, MOST_LISTED } from '#shared/arrange.ts';
import type { Case } from '#shared/case.ts';
import { parseCase } from '#shared/case.ts';
import { aFamily, place, REAR_BENCH, SEATS } from './families.ts';

/** Who sits where in which mode, such as `c1 p2L rear-facing`. */
const told = (family: Case, nth = 0): string[] =>
  arrange(family).arrangements[nth]?.places.map((one) => `${one.childId} ${one.positionId} ${one.mode}`) ?? [];

const everyPlace = (family: Case, childId: string): string[] => [
  ...new Set(
    arrange(family).arrangements.flatMap(({ places }) =>
      places.filter((one) => one.childId === childId).map(({ positionId }) => positionId),
    ),
  ),
];

describe('plans after published guidance', () => {
  it('puts no rear-facing child at an active frontal air bag: NHTSA Parents & Caregivers (S-096), 571.213 S5.5.2(k)(3) (S-027)', () => {
    const family = aFamily([{ child: 'baby', seat: 'infant', at: 'p1R' }], [place('p1R')]);
    expect(arrange(family)).toEqual({
      arrangements: [],
      total: 0,
      blockedBy: [['air-bag-off:p1R'], ['another-position']],
    });
  });

  it('keeps all under 13 in the rear while there is a place: AAP 2018 (S-157), NHTSA (S-142)', () => {
    const family = aFamily(
      [
        { child: 'seven', seat: 'booster', at: 'p1R', mode: 'booster' },
        { child: 'fourteen', seat: null, at: 'p2L', mode: 'seat-belt' },
      ],
      [place('p1R'), place('p2L')],
    );
    expect(told(family)).toEqual(['c1 p2L booster', 'c2 p1R seat-belt']);
    expect(arrange(family).total).toBe(1);
  });

  it('lets a child under 13 ride in front of a pickup without a rear row, and says so: NHTSA (S-097)', () => {
    const family = aFamily([{ child: 'seven', seat: 'booster', at: 'p1R', mode: 'booster' }], [place('p1R')]);
    const { arrangements, total } = arrange(family);
    expect(total).toBe(1);
    expect(arrangements[0]?.reasons).toEqual(['as-today', 'child-in-front', 'air-bag-active']);
  });

  it('gives the one tether anchor to the one harness, the booster the other place: tether on every harnessed seat (S-144)', () => {
    const family = aFamily(
      [
        { child: 'four', seat: 'harness', at: 'p2R', mode: 'forward-facing' },
        { child: 'seven', seat: 'booster', at: 'p2L', mode: 'booster' },
      ],
      [place('p2L'), place('p2R', { tetherAnchor: false })],
    );
    expect(told(family)).toEqual(['c1 p2L forward-facing', 'c2 p2R booster']);
    expect(arrange(family).arrangements[0]?.places[0]).toMatchObject({
      tether: 'required',
      attachment: 'lower-anchors',
    });
  });

  it('finds nothing for two harnesses and a single tether anchor, and names each way out', () => {
    const four = { child: 'four', seat: 'harness' } as const;
    const family = aFamily([four, four], [place('p2L'), place('p2R', { tetherAnchor: false })]);
    expect(arrange(family)).toMatchObject({ total: 0, blockedBy: [['tether-anchor:p2R'], ['another-position']] });
  });

  it('puts no booster on a lap-only belt: 571.213 S5.5.2(i) (S-090)', () => {
    const family = aFamily([{ child: 'seven', seat: 'booster' }], [place('p2C', { belt: 'lap-only' }), place('p2L')]);
    expect(everyPlace(family, 'c1')).toEqual(['p2L']);
  });

  it('takes the belt where the child and seat are above 65 lb together, the anchors below: 571.213 S5.5.2(l)(3) (S-029)', () => {
    const heavy = { ...SEATS.harness, massKg: 12 };
    const at = (seat: typeof heavy | 'harness') =>
      arrange(aFamily([{ child: 'four', seat }], [place('p2L')])).arrangements[0]?.places[0]?.attachment;
    expect(at('harness')).toBe('lower-anchors');
    expect(at(heavy)).toBe('seat-belt');
  });

  it('never uses a seat that faces sideways or backwards: 571.225 S4 (S-064), common practice (S-204)', () => {
    const jump = [place('p2L', { facing: 'side' }), place('p2R', { facing: 'rear' })];
    expect(arrange(aFamily([{ child: 'seven', seat: 'booster' }], jump))).toMatchObject({
      total: 0,
      blockedBy: [['another-position']],
    });
    expect(everyPlace(aFamily([{ child: 'seven', seat: 'booster' }], [...jump, place('p1R')]), 'c1')).toEqual(['p1R']);
  });

  it('allows an inflatable belt only with the word that both manuals decide (S-202)', () => {
    const family = aFamily([{ child: 'seven', seat: 'booster' }], [place('p2L', { belt: 'inflatable' })]);
    expect(arrange(family).arrangements[0]?.reasons).toContain('inflatable-belt');
  });

  it('keeps a place beside a baby in care free for an adult where it can (S-167)', () => {
    const early = { ageMonths: 3, weightKg: 4.5, heightCm: 55, bornBeforeWeek37: true };
    const family = aFamily(
      [
        { child: early, seat: 'infant' },
        { child: 'seven', seat: 'booster' },
      ],
      [...REAR_BENCH, place('p3L')],
    );
    const best = arrange(family).arrangements[0];
    expect(best?.reasons).not.toContain('no-adult-place-beside');
    const alone = aFamily([{ child: early, seat: 'infant' }], [place('p2L')]);
    expect(arrange(alone).arrangements[0]?.reasons).toContain('no-adult-place-beside');
  });
});

describe('plans for awkward families', () => {
  const wide = (widthCm: number) => ({ ...SEATS.convertible, widthCm });
  const bench = REAR_BENCH.map((one) => ({ ...one, widthCm: 44 }));
  const three = (width: number) =>
    aFamily(
      [44, 44, width].map((cm) => ({ child: 'baby' as const, seat: wide(cm) })),
      bench,
    );

  it('seats three across that fit to the centimetre, and refuses them 1 cm wider', () => {
    expect(arrange(three(44)).total).toBe(6);
    expect(arrange(three(45))).toMatchObject({
      total: 0,
      blockedBy: [
        ['narrower-seat:s1'],
        ['narrower-seat:s2'],
        ['narrower-seat:s3'],
        // One more seat of 44 cm leaves the wide one unused; the child who has the wide one gets one as wide.
        ['rear-facing-seat:c1'],
        ['rear-facing-seat:c2'],
        ['another-position'],
      ],
    });
  });

  it('says that widths are to be measured where some are not known', () => {
    const family = aFamily(
      [
        { child: 'baby', seat: wide(44) },
        { child: 'baby', seat: 'infant' },
      ],
      bench,
    );
    expect(arrange(family).arrangements[0]?.reasons).toContain('width-unknown');
  });

  it('has no plan for more children than places, and counts the places that lack', () => {
    const family = aFamily(
      ['baby', 'three', 'seven'].map((child) => ({
        child: child as 'baby',
        seat: child === 'seven' ? 'booster' : 'convertible',
      })),
      [place('p2L')],
    );
    expect(arrange(family).blockedBy).toEqual([['another-position', 'another-position:2']]);
  });

  it('asks for the positions where none is known', () => {
    expect(arrange(aFamily([{ child: 'baby', seat: 'infant' }], [])).blockedBy).toEqual([['positions']]);
  });

  it('plans for a use without a place today, which is no change', () => {
    const { arrangements } = arrange(aFamily([{ child: 'baby', seat: 'infant', mode: 'rear-facing' }], REAR_BENCH));
    expect(arrangements.map(({ places }) => places[0]?.positionId)).toEqual(['p2C', 'p2L', 'p2R']);
    expect(arrangements[0]?.reasons).not.toContain('as-today');
  });

  it('seats six in a van with eight places, and tells how many ways there are beyond those listed', () => {
    const van = [...REAR_BENCH, place('p3L'), place('p3C'), place('p3R'), place('p1C'), place('p1R')];
    const family = aFamily(
      [
        { child: 'baby', seat: 'infant' },
        { child: 'baby', seat: 'infant' },
        { child: 'three', seat: 'convertible' },
        { child: 'four', seat: 'harness' },
        { child: 'seven', seat: 'booster' },
        { child: 'eleven', seat: null },
      ],
      van,
    );
    const { arrangements, total } = arrange(family);
    expect(arrangements).toHaveLength(MOST_LISTED);
    // All six behind in 6! ways; the child of three rear-facing or with the harness.
    expect(total).toBe(2 * 720);
    expect(arrangements[0]?.places.map(({ mode }) => mode)).toContain('rear-facing');
  });

  it('exchanges seats between siblings only where nothing works without', () => {
    const family = aFamily(
      [
        { child: 'baby', seat: 'booster', at: 'p2L' },
        { child: 'seven', seat: 'infant', at: 'p2R' },
      ],
      REAR_BENCH,
    );
    const { arrangements } = arrange(family);
    expect(arrangements[0]?.places.map(({ seatId }) => seatId)).toEqual(['s2', 's1']);
    expect(arrangements[0]?.reasons).toContain('seats-exchanged');
  });

  it('names another seat where the one in hand is outgrown', () => {
    const family = aFamily([{ child: 'seven', seat: 'infant' }], REAR_BENCH);
    expect(arrange(family).blockedBy).toEqual([['booster:c1']]);
  });

  it('prefers what is so today where nothing speaks against it', () => {
    const family = aFamily(
      [
        { child: 'baby', seat: 'infant', at: 'p2R', mode: 'rear-facing' },
        { child: 'three', seat: 'convertible', at: 'p2C', mode: 'rear-facing' },
        { child: 'seven', seat: 'booster', at: 'p2L', mode: 'booster' },
      ],
      REAR_BENCH,
    );
    expect(arrange(family).arrangements[0]?.reasons).toContain('as-today');
  });

  it('holds a locked child to its place and seats the others around it', () => {
    const family = aFamily(
      [
        { child: 'baby', seat: 'infant' },
        { child: 'seven', seat: 'booster' },
      ],
      REAR_BENCH,
    );
    const { arrangements } = arrange(family, { locks: { c2: 'p2C' } });
    expect(new Set(arrangements.map(({ places }) => places[1]?.positionId))).toEqual(new Set(['p2C']));
    expect(arrange(family, { locks: { c1: 'p2C', c2: 'p2C' } }).total).toBe(0);
  });

  it('moves nobody for a less exposed place where staying is wished', () => {
    const family = aFamily([{ child: 'baby', seat: 'infant', at: 'p2R', mode: 'rear-facing' }], REAR_BENCH);
    expect(arrange(family).arrangements[0]?.places[0]?.positionId).toBe('p2C');
    expect(arrange(family, { staying: true }).arrangements[0]?.places[0]?.positionId).toBe('p2R');
  });

  it('speaks the shape of the contract', () => {
    for (const family of [three(44), three(45)]) {
      expect(parseCase(family).ok).toBe(true);
      expect(arrangementsSchema.safeParse(arrange(family)).success).toBe(true);
    }
  });

  it('refuses more than it can search, and names what is too much', () => {
    const many = aFamily(
      Array.from({ length: 9 }, () => ({ child: 'baby' as const, seat: 'infant' as const })),
      REAR_BENCH,
    );
    expect(() => arrange(many)).toThrow('$.children');
  });
});
