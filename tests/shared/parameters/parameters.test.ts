import { describe, expect, it } from 'vitest';
import { PARAMETERS, parameter, readParameters } from '#shared/parameters/parameters.ts';

const good = { value: 1, unit: 'in', basis: 'guidance', sources: ['S-155'], since: '2018-08-30' };

describe('the parameters', () => {
  it('convert exactly, without rounding (S-260, S-261, S-266)', () => {
    expect(parameter('booster-min-weight')).toBeCloseTo(18.1436948, 12);
    expect(parameter('belt-min-height')).toBeCloseTo(144.78, 10);
    expect(parameter('forward-facing-min-weight')).toBeCloseTo(12.020197805, 12);
    expect(parameter('belt-any-height-age')).toBe(156);
  });

  it('hold the values of the standards', () => {
    const read = Object.fromEntries(
      Object.entries(PARAMETERS).map(([id, { value, unit }]) => [id, `${value} ${unit}`]),
    );
    expect(read).toMatchObject({
      'forward-facing-min-weight': '26.5 lb', // S-016
      'booster-min-weight': '40 lb', // S-018
      'belt-min-height': '57 in', // S-155
      'belt-min-age': '96 months', // S-155
      'rear-seat-under-age': '156 months', // S-157
      'lower-anchor-total-forward-facing': '65 lb', // S-029
      'lower-anchor-total-rear-facing': '60 lb', // S-031
      'max-movement': '1 in', // S-175
      'min-head-clearance': '1 in', // S-181
      'typical-rear-facing-max-weight': '40 lb', // S-160
    });
  });

  it.each([
    ['an unknown unit', { ...good, unit: 'stone' }],
    ['a source that is none', { ...good, sources: ['S-999'] }],
    ['a date that is none', { ...good, since: '2018-02-30' }],
    ['a field too many', { ...good, from: 'somewhere' }],
    ['a negative value', { ...good, value: -1 }],
  ])('refuse %s', (_, bad) => {
    expect(readParameters({ good })).toEqual({ good });
    expect(() => readParameters({ bad })).toThrow(/bad/);
  });
});
