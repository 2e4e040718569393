import { describe, expect, test } from 'vitest';
import type { SourceId } from '#shared/parameters/sources.ts';
import { findSource, SOURCES } from '#shared/parameters/sources.ts';

describe('the source entries', () => {
  test('each say what they state, where it stands, of what kind it is and whether it was seen', () => {
    for (const [id, source] of Object.entries(SOURCES)) {
      expect(source.title, id).toMatch(/\S/);
      expect(source.statement, id).toMatch(/\S/);
      expect(['rule', 'guidance', 'common practice', 'computed'], id).toContain(source.kind);
      expect(['seen', 'secondary', 'memory'], id).toContain(source.status);
    }
  });

  test('are the 214 numbered facts and the four growth references', () => {
    const ids = Object.keys(SOURCES);
    expect(ids.filter((id) => /^S-\d{3}$/.test(id))).toHaveLength(214);
    expect(ids.filter((id) => !/^S-\d{3}$/.test(id))).toEqual(['WHO-2006', 'CDC-2000', 'MMWR-2010', 'GROWTH-SPREAD']);
  });

  test.each<[SourceId, string, string]>([
    ['S-016', 'secondary', '12 kg (26.5 lb)'],
    ['S-151', 'seen', 'to seat limit'],
    ['S-224', 'memory', '100 cm (39.4 in)'],
  ])('%s was %s and states %s', (id, status, value) => {
    expect(SOURCES[id]).toMatchObject({ status, value });
  });

  test('an id that is none finds nothing', () => {
    expect(findSource('S-999')).toBeUndefined();
    expect(findSource('S-100')?.value).toBe('17 characters');
  });
});
