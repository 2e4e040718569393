import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const ROOT = new URL('../../', import.meta.url);

/** Files of the work tree that git knows or would take, without what it ignores. */
const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], {
  cwd: ROOT,
  encoding: 'utf8',
})
  .split('\n')
  .filter(Boolean);

const sources = files.filter((file) => /^(shared|dialogs|src)\/.*\.(ts|tsx|css)$/.test(file));
const text = (file: string): string => readFileSync(new URL(file, ROOT), 'utf8');
const importsOf = (file: string): string[] =>
  [...text(file).matchAll(/(?:from|import)\s*\(?\s*['"]([^'"]+)['"]/g)].map(([, name]) => name as string);

describe('the tree', () => {
  it('has only the agreed names at its top', () => {
    const top = new Set(files.map((file) => file.split('/')[0] as string).filter((name) => !name.startsWith('.')));
    const agreed = ['README.md', 'DEVELOPERS.md', 'LICENSE', 'package.json', 'package-lock.json', 'tsconfig.json'];
    const folders = ['dialogs', 'locales', 'shared', 'src', 'tests'];
    expect([...top].filter((name) => ![...agreed, ...folders].includes(name))).toEqual([]);
  });

  it('imports in one direction: shared, then dialogs, then src', () => {
    const wrong = sources.flatMap((file) =>
      importsOf(file)
        .filter((name) => {
          if (file.startsWith('shared/')) return /^(#dialogs|#src|#locales|node:)/.test(name);
          if (file.startsWith('dialogs/')) return /^(#src|#locales|node:)/.test(name);
          return false;
        })
        .map((name) => `${file} imports ${name}`),
    );
    expect(wrong).toEqual([]);
  });

  it('keeps clock, chance, environment and files out of the pure layers', () => {
    const impure = /Date\.now\(|new Date\(\)|Math\.random\(|process\./;
    expect(sources.filter((file) => /^(shared|dialogs)\//.test(file) && impure.test(text(file)))).toEqual([]);
  });

  it('keeps the Bot Framework in its own folders', () => {
    const users = sources.filter((file) => importsOf(file).some((name) => /^bot(builder|framework)/.test(name)));
    expect(users.filter((file) => !/^src\/(bot|channels\/bot-framework)\//.test(file))).toEqual([]);
  });

  it('keeps a file to one idea: at most 300 lines', () => {
    expect(sources.filter((file) => text(file).split('\n').length > 301)).toEqual([]);
  });
});
