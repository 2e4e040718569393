import { webcrypto } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createFieldCipher } from '#src/protection/field-cipher.ts';

const SECRET = 'a secret of this test, long enough for it';
const OTHER = 'another secret of this test, just as long';
const cipher = createFieldCipher(SECRET, []);

describe('a sealed value', () => {
  it('opens to what it was, whatever it was, and shows nothing of it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const sealed = cipher.seal('summary', text);
        expect(sealed).toMatch(new RegExp(`^sealed:1:${cipher.keyId}:[\\w-]+$`));
        expect(cipher.open('summary', sealed)).toEqual({ ok: true, text, current: true });
      }),
    );
    expect(cipher.seal('summary', 'ana@example.org')).not.toContain('ana@example');
  });

  it('is another one each time', () => {
    const many = new Set(Array.from({ length: 1000 }, () => cipher.seal('text', 'yes')));
    expect(many.size).toBe(1000);
  });

  // The same key and bytes through another interface: HKDF of RFC 5869 and AES-GCM of the W3C's Web Cryptography API.
  it('can be opened by the published algorithms alone', async () => {
    const { subtle } = webcrypto;
    const bytes = (text: string) => new TextEncoder().encode(text);
    const base = await subtle.importKey('raw', bytes(SECRET), 'HKDF', false, ['deriveKey']);
    const key = await subtle.deriveKey(
      { name: 'HKDF', hash: 'SHA-256', salt: bytes('lapwing'), info: bytes('fields') },
      base,
      { name: 'AES-GCM', length: 256 },
      false,
      ['decrypt'],
    );
    const body = new Uint8Array(Buffer.from(cipher.seal('text', 'llámame').split(':')[3] ?? '', 'base64url'));
    const [iv, tag, sealed] = [body.slice(0, 12), body.slice(12, 28), body.slice(28)];
    const plain = await subtle.decrypt(
      { name: 'AES-GCM', iv, additionalData: bytes('text'), tagLength: 128 },
      key,
      new Uint8Array([...sealed, ...tag]),
    );
    expect(new TextDecoder().decode(plain)).toBe('llámame');
  });

  it('does not open in another column, nor with any character changed', () => {
    const sealed = cipher.seal('text', 'call 555 0100');
    expect(cipher.open('reply', sealed)).toEqual({ ok: false, reason: 'damaged' });
    const start = sealed.lastIndexOf(':') + 1;
    // The last character of base64 may hold bits that mean nothing.
    for (let i = start; i < sealed.length - 1; i++) {
      const changed = sealed.slice(0, i) + (sealed[i] === 'A' ? 'B' : 'A') + sealed.slice(i + 1);
      expect(cipher.open('text', changed)).toEqual({ ok: false, reason: 'damaged' });
    }
    for (const cut of ['sealed:1:', `sealed:1:${cipher.keyId}:`, sealed.slice(0, start + 20), sealed.slice(0, -4)])
      expect(cipher.open('text', cut)).toEqual({ ok: false, reason: 'damaged' });
  });
});

describe('a key that was replaced', () => {
  it('still opens what it sealed, and seals no more', () => {
    const after = createFieldCipher(OTHER, [SECRET]);
    expect(after.open('text', cipher.seal('text', 'yes'))).toEqual({ ok: true, text: 'yes', current: false });
    expect(after.knows(cipher.keyId)).toBe(true);
    expect(cipher.open('text', after.seal('text', 'yes'))).toEqual({ ok: false, reason: 'unknown-key' });
    expect(cipher.knows(after.keyId)).toBe(false);
  });
});

it('text that was never sealed is given as it is', () => {
  expect(cipher.open('text', 'yes')).toEqual({ ok: true, text: 'yes', current: false });
});
