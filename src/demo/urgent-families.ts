import { addMonths } from '#shared/dates.ts';
import { lbToKg } from '#shared/units.ts';
import { CARED_FOR, type DemoFamily, front, limits, rear, size, WELL_INSTALLED } from './family-parts.ts';

/** Families who should not make another trip as they are. Ages are counted back from `asOf`, so that the demo never grows old. */
export function urgentFamilies(asOf: string): readonly DemoFamily[] {
  const born = (monthsAgo: number) => addMonths(asOf, -monthsAgo);
  return [
    {
      language: 'es',
      complete: true,
      person: false,
      notes: '',
      words: [
        { asking: 'age', text: 'Lía tiene 10 meses', values: { ageMonths: [10, 10] } },
        { asking: 'weight', text: 'como 20 libras', values: { weightKg: lbToKg(20) } },
        { asking: 'riding-mode', text: 'mirando hacia adelante, le gusta ver', values: { mode: 'forward-facing' } },
      ],
      facts: {
        children: [{ id: 'c1', name: 'Lía', birthDate: born(10), ...size(20, 28.5) }],
        seats: [
          {
            id: 's1',
            description: 'la silla del bebé, con asa',
            kind: 'rear-facing-only',
            modes: { 'rear-facing': limits(4, 35, 32) },
            manufactureDate: born(14).slice(0, 7),
            usefulLifeYears: 7,
            ...CARED_FOR,
            recall: 'unchecked',
          },
        ],
        vehicle: { modelYear: 2016, description: 'camioneta', positions: [front, rear('left'), rear('right')] },
        uses: [
          {
            childId: 'c1',
            seatId: 's1',
            positionId: 'rear-right',
            mode: 'forward-facing',
            attachment: 'seat-belt',
            tether: 'not-attached',
            ...WELL_INSTALLED,
          },
        ],
      },
    },
    {
      language: 'vi',
      complete: true,
      person: false,
      notes: '',
      words: [
        { asking: 'age', text: 'cháu 5 tháng', values: { ageMonths: [5, 5] } },
        { asking: 'position', text: 'ghế trước, cạnh tôi', values: {} },
        { asking: 'front-air-bag', text: 'có túi khí', values: { answer: 'yes' } },
      ],
      facts: {
        children: [{ id: 'c1', name: 'Bống', ageMonths: 5, sex: 'female', ...size(15, 25) }],
        seats: [
          {
            id: 's1',
            description: 'ghế màu xanh',
            kind: 'convertible',
            modes: { 'rear-facing': limits(5, 40, 43), 'forward-facing': limits(26.5, 65, 49) },
            expiryDate: addMonths(asOf, 50).slice(0, 7),
            ...CARED_FOR,
          },
        ],
        vehicle: { modelYear: 2011, description: 'xe bán tải', positions: [front, rear('left'), rear('center')] },
        uses: [
          {
            childId: 'c1',
            seatId: 's1',
            positionId: 'front',
            mode: 'rear-facing',
            attachment: 'seat-belt',
            recline: 'in-range',
            headClearanceCm: { min: 2.54, max: 60 },
            ...WELL_INSTALLED,
          },
        ],
      },
    },
    {
      language: 'ar',
      complete: true,
      person: false,
      notes: 'Prefers the afternoon.',
      words: [
        { asking: 'child-count', text: 'طفلان', values: {} },
        { asking: 'age', text: 'نور عمرها أربع سنوات', values: { ageMonths: [48, 59] } },
        { asking: 'age', text: 'سامي تسع سنوات', values: { ageMonths: [108, 119] } },
        { asking: 'seat-dates', text: 'مكتوب 2016', values: { date: '2016' } },
      ],
      facts: {
        needsInterpreter: true,
        children: [
          { id: 'c1', name: 'Noor', ageMonths: { min: 48, max: 59 }, ...size(36, 41) },
          { id: 'c2', name: 'Sami', ageMonths: { min: 108, max: 119 }, ridesUpright: true, ...size(62, 51) },
        ],
        seats: [
          {
            id: 's1',
            description: 'the seat from her cousin',
            kind: 'combination',
            modes: { 'forward-facing': limits(25, 65, 49), booster: limits(40, 100, 57) },
            manufactureDate: addMonths(asOf, -120).slice(0, 4),
            usefulLifeYears: 6,
            ...CARED_FOR,
            acquired: 'known-second-hand',
            registered: false,
          },
        ],
        vehicle: { modelYear: 2019, description: 'minivan', positions: [rear('left'), rear('center'), rear('right')] },
        uses: [
          {
            childId: 'c1',
            seatId: 's1',
            positionId: 'rear-left',
            mode: 'forward-facing',
            attachment: 'lower-anchors',
            tether: 'attached',
            ...WELL_INSTALLED,
          },
          {
            childId: 'c2',
            positionId: 'rear-right',
            mode: 'seat-belt',
            beltFit: { lap: 'belly', shoulder: 'neck' },
          },
        ],
      },
    },
  ];
}
