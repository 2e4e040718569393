import { addMonths } from '#shared/dates.ts';
import { lbToKg } from '#shared/units.ts';
import { CARED_FOR, type DemoFamily, front, limits, rear, size, WELL_INSTALLED } from './family-parts.ts';

/** Families whose questions can wait until the visit. Ages are counted back from `asOf`, so that the demo never grows old. */
export function otherFamilies(asOf: string): readonly DemoFamily[] {
  const born = (monthsAgo: number) => addMonths(asOf, -monthsAgo);
  return [
    {
      language: 'en',
      complete: true,
      person: false,
      notes: '',
      words: [
        { asking: 'age', text: 'two and a half', values: { ageMonths: [30, 30] } },
        { asking: 'weight', text: '29 lbs at the last check up', values: { weightKg: lbToKg(29) } },
        { asking: 'tether', text: 'what strap? there is one hanging down the back', values: { answer: 'no' } },
        { asking: 'install-check', text: 'it moves a fair bit', values: {} },
      ],
      facts: {
        children: [{ id: 'c1', name: 'Teddy', birthDate: born(30), sex: 'male', ...size(29, 36) }],
        seats: [
          {
            id: 's1',
            description: 'big grey one',
            kind: 'convertible',
            modes: { 'rear-facing': limits(5, 40, 40), 'forward-facing': limits(22, 65, 49) },
            lowerAnchorLimitKg: { 'rear-facing': lbToKg(35), 'forward-facing': lbToKg(40) },
            expiryDate: addMonths(asOf, 30).slice(0, 7),
            ...CARED_FOR,
          },
        ],
        vehicle: {
          modelYear: 2014,
          description: 'five-door hatchback',
          positions: [front, rear('left'), rear('right')],
        },
        uses: [
          {
            childId: 'c1',
            seatId: 's1',
            positionId: 'rear-left',
            mode: 'forward-facing',
            attachment: 'lower-anchors',
            tether: 'not-attached',
            ...WELL_INSTALLED,
            movementCm: { min: 3, max: 8 },
            harness: { ...WELL_INSTALLED.harness, pinchable: true },
          },
        ],
      },
    },
    {
      language: 'ht',
      complete: true,
      person: false,
      notes: '',
      words: [
        { asking: 'age', text: 'li gen 2 mwa', values: { ageMonths: [2, 2] } },
        { asking: 'care-needs', text: 'li fèt bonè, nan 34 semèn', values: {} },
      ],
      facts: {
        children: [{ id: 'c1', name: 'Ti Jo', ageMonths: 2, bornBeforeWeek37: true, ...size(9, 21.5) }],
        seats: [
          {
            id: 's1',
            description: 'chèz tibebe a',
            kind: 'rear-facing-only',
            modes: { 'rear-facing': limits(4, 30, 30) },
            ...CARED_FOR,
            acquired: 'unknown-second-hand',
            crash: null,
            recall: null,
            registered: false,
          },
        ],
        vehicle: { modelYear: 2008, description: null, positions: [rear('left'), rear('right')] },
        uses: [{ childId: 'c1', seatId: 's1', positionId: 'rear-right', mode: 'rear-facing', attachment: 'seat-belt' }],
      },
    },
    {
      language: 'zh-Hans',
      complete: true,
      person: false,
      notes: '',
      words: [
        { asking: 'age', text: '四岁三个月', values: { ageMonths: [51, 51] } },
        { asking: 'weight', text: '38磅', values: { weightKg: lbToKg(38) } },
      ],
      facts: {
        children: [{ id: 'c1', name: '豆豆', birthDate: born(51), ...size(38, 41.5) }],
        seats: [
          {
            id: 's1',
            description: '黑色座椅',
            kind: 'all-in-one',
            modes: {
              'rear-facing': limits(5, 40, 40),
              'forward-facing': limits(26.5, 65, 49),
              booster: limits(40, 100, 57),
            },
            massKg: lbToKg(20),
            expiryDate: addMonths(asOf, 64).slice(0, 7),
            ...CARED_FOR,
          },
        ],
        vehicle: { modelYear: 2021, description: null, positions: [front, rear('left'), rear('right')] },
        uses: [
          {
            childId: 'c1',
            seatId: 's1',
            positionId: 'rear-right',
            mode: 'forward-facing',
            attachment: 'seat-belt',
            tether: 'attached',
            ...WELL_INSTALLED,
          },
        ],
      },
    },
    {
      language: 'so',
      complete: false,
      person: true,
      notes: '',
      words: [
        { asking: 'age', text: '3 sano', values: { ageMonths: [36, 47] } },
        { asking: 'seat-kind', text: 'Waxaan rabaa inaan qof la hadlo', values: { intent: 'person' } },
      ],
      facts: {
        children: [{ id: 'c1', name: 'Hodan', ageMonths: { min: 36, max: 47 } }],
        seats: [{ id: 's1', kind: 'unknown' }],
        vehicle: null,
        uses: [{ childId: 'c1', seatId: 's1', mode: 'booster' }],
      },
    },
  ];
}
