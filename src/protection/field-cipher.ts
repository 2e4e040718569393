import { createCipheriv, createDecipheriv, createSecretKey, type KeyObject, randomBytes } from 'node:crypto';
import { deriveKey } from '#src/secret-key.ts';

const PREFIX = 'sealed:1:';
const FORM = /^sealed:1:([0-9a-f]{16}):([\w-]+)$/;
const IV_BYTES = 12;
const TAG_BYTES = 16;

export type Opened =
  | { readonly ok: true; readonly text: string /** Sealed, and under the present key. */; readonly current: boolean }
  | { readonly ok: false; readonly reason: 'unknown-key' | 'damaged' };

export interface FieldCipher {
  /** Names the present key; nothing of the key can be told from it. */
  readonly keyId: string;
  /** Whether values sealed under a key can be opened. */
  knows(keyId: string): boolean;
  /** `sealed:1:KEY-ID:…`; `field` is bound to it, so that a value put into another column does not open. */
  seal(field: string, text: string): string;
  /** What was sealed, under the present key or an old one. Text that was never sealed is given as it is. */
  open(field: string, stored: string): Opened;
}

interface FieldKey {
  readonly id: string;
  readonly key: KeyObject;
}

const fieldKey = (secret: string): FieldKey => ({
  id: deriveKey(secret, 'fields, key id').subarray(0, 8).toString('hex'),
  key: createSecretKey(deriveKey(secret, 'fields')),
});

/**
 * Seals single values with AES-256-GCM (NIST SP 800-38D) under a key derived from the master secret, each with random
 * 96 bits of its own. `oldSecrets` only open.
 */
export function createFieldCipher(secret: string, oldSecrets: readonly string[]): FieldCipher {
  const present = fieldKey(secret);
  const keys = new Map([...oldSecrets.map(fieldKey), present].map(({ id, key }) => [id, key]));
  return {
    keyId: present.id,
    knows: (keyId) => keys.has(keyId),

    seal(field, text) {
      const iv = randomBytes(IV_BYTES);
      const cipher = createCipheriv('aes-256-gcm', present.key, iv).setAAD(Buffer.from(field));
      const sealed = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
      return `${PREFIX}${present.id}:${Buffer.concat([iv, cipher.getAuthTag(), sealed]).toString('base64url')}`;
    },

    open(field, stored) {
      if (!stored.startsWith(PREFIX)) return { ok: true, text: stored, current: false };
      const [, id = '', body = ''] = FORM.exec(stored) ?? [];
      const bytes = Buffer.from(body, 'base64url');
      if (bytes.length < IV_BYTES + TAG_BYTES) return { ok: false, reason: 'damaged' };
      const key = keys.get(id);
      if (!key) return { ok: false, reason: 'unknown-key' };
      try {
        const decipher = createDecipheriv('aes-256-gcm', key, bytes.subarray(0, IV_BYTES), { authTagLength: TAG_BYTES })
          .setAAD(Buffer.from(field))
          .setAuthTag(bytes.subarray(IV_BYTES, IV_BYTES + TAG_BYTES));
        const text = Buffer.concat([decipher.update(bytes.subarray(IV_BYTES + TAG_BYTES)), decipher.final()]);
        return { ok: true, text: text.toString('utf8'), current: id === present.id };
      } catch {
        return { ok: false, reason: 'damaged' };
      }
    },
  };
}
