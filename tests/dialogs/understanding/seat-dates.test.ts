import { describe, expect, it } from 'vitest';
import { ears, TODAY } from '../caregiver.ts';

describe('the dates on a seat', () => {
  it.each([
    ['en', 'made May 2021, expires Dec 2029', { manufactureDate: '2021-05', expiryDate: '2029-12' }],
    ['en', 'DOM 2021-05, good for 8 years', { manufactureDate: '2021-05', usefulLifeYears: 8 }],
    ['en', 'manufactured 05/12/2021 exp 12/2029', { manufactureDate: '2021-05-12', expiryDate: '2029-12' }],
    ['en', '2021', { manufactureDate: '2021' }],
    ['en', 'expires 2030', { expiryDate: '2030' }],
    ['en', '6 years', { usefulLifeYears: 6 }],
    ['es', 'mayo 2023', { manufactureDate: '2023-05' }],
    [
      'es',
      'fabricado en mayo 2021 y vence en diciembre de 2029',
      { manufactureDate: '2021-05', expiryDate: '2029-12' },
    ],
    ['es', '6 años', { usefulLifeYears: 6 }],
    ['zh-Hans', '可以用8年', { usefulLifeYears: 8 }],
    ['zh-Hans', '2021年5月生产，能用十年', { manufactureDate: '2021-05', usefulLifeYears: 10 }],
  ] as const)('%s: %s', (language, text, dates) => {
    expect(ears.dates(text, language, TODAY)).toEqual({ ...dates, mustConfirm: false });
  });

  it('are read back where day and month could be either', () => {
    expect(ears.dates('09/02/2020', 'es', TODAY)).toMatchObject({ mustConfirm: true });
  });

  it('are not found where none is said', () => {
    expect(ears.dates('somewhere on the back', 'en', TODAY)).toBeNull();
  });
});
