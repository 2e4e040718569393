import { existsSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

const ROOT = new URL('../../', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, ROOT), 'utf8');

const section = /^## Threat model\n[\s\S]*?(?=^### )/m.exec(read('DEVELOPERS.md'))?.[0] ?? '';
const threats = section.split('\n').filter((line) => /^\| (?!threat|-)/.test(line));
const named = [...section.matchAll(/`(tests\/[\w/.-]+\.test\.ts)` "([^"]+)"/g)].map(
  ([, file = '', name = '']) => [file, name] as const,
);

it('names a test beside every threat', () => {
  expect(threats.length).toBeGreaterThan(15);
  expect(threats.filter((line) => !/\| `tests\/[^|]+" +\|$/.test(line))).toEqual([]);
});

it.each(named)('%s holds "%s"', (file, name) => {
  expect(existsSync(new URL(file, ROOT))).toBe(true);
  expect(read(file)).toContain(`'${name}'`);
});
