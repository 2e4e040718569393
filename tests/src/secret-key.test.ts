import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { deriveKey, loadMasterSecret } from '#src/secret-key.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lapwing-key-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('loadMasterSecret', () => {
  it('makes a key file that only its owner may read, and keeps to it', () => {
    const made = loadMasterSecret(null, folder);
    expect(Buffer.from(made, 'base64url')).toHaveLength(32);
    expect(statSync(join(folder, 'secret.key')).mode & 0o777).toBe(0o600);
    expect(loadMasterSecret(null, folder)).toBe(made);
  });

  it('takes the setting before the file', () => {
    expect(loadMasterSecret('x'.repeat(40), folder)).toBe('x'.repeat(40));
    expect(() => readFileSync(join(folder, 'secret.key'))).toThrow(/ENOENT/);
  });

  it('refuses a damaged key file', () => {
    writeFileSync(join(folder, 'secret.key'), 'oops');
    expect(() => loadMasterSecret(null, folder)).toThrow(/damaged/);
  });
});

describe('deriveKey', () => {
  it('gives each purpose a key of its own', () => {
    const [a, b] = [deriveKey('master', 'one'), deriveKey('master', 'two')];
    expect(a).toHaveLength(32);
    expect(a.equals(b)).toBe(false);
    expect(a.equals(deriveKey('master', 'one'))).toBe(true);
  });
});
