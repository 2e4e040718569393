import { hkdfSync, randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** In the data directory. */
export const KEY_FILE = 'secret.key';

/**
 * The master secret: the setting if given, else a key file in the data directory, made on first use
 * and readable by the owner only. Throws if the file cannot be read or written.
 */
export function loadMasterSecret(secretKey: string | null, dataDir: string): string {
  if (secretKey !== null) return secretKey;
  mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  const path = join(dataDir, KEY_FILE);
  try {
    // `wx`: of two processes starting at once only one may make the file.
    writeFileSync(path, randomBytes(32).toString('base64url'), { flag: 'wx', mode: 0o600 });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
  const secret = readFileSync(path, 'utf8').trim();
  if (secret.length < 32) throw new Error(`the key file ${KEY_FILE} in the data directory is damaged`);
  return secret;
}

/** A 32-byte key for one purpose (HKDF-SHA-256, RFC 5869), so that no key serves two uses. */
export function deriveKey(masterSecret: string, purpose: string): Buffer {
  return Buffer.from(hkdfSync('sha256', masterSecret, 'lapwing', purpose, 32));
}
