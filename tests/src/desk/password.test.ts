import { describe, expect, it, vi } from 'vitest';
import { hashPassword, passwordIsRight } from '#src/desk/password.ts';

vi.unmock('#src/desk/password-cost.ts');

describe('a stored password', () => {
  it('is salted, with its cost beside it, and lets only itself in', async () => {
    const [one, two] = [await hashPassword('a calm green meadow'), await hashPassword('a calm green meadow')];
    expect(JSON.parse(one)).toMatchObject({ method: 'scrypt', N: 131072, r: 8, p: 1 });
    expect(JSON.parse(one).salt).not.toBe(JSON.parse(two).salt);
    expect(one).not.toContain('meadow');
    expect(await passwordIsRight('a calm green meadow', one)).toBe(true);
    expect(await passwordIsRight('a calm green meadoW', one)).toBe(false);
    expect(await passwordIsRight('', one)).toBe(false);
    expect(await passwordIsRight('anything', null)).toBe(false);
  });

  it('is the same however the keyboard puts its letters together', async () => {
    const stored = await hashPassword('una niña y un café');
    expect(await passwordIsRight('una nin\u0303a y un cafe\u0301', stored)).toBe(true);
  });

  // RFC 7914, section 12, third vector; the first 32 of its 64 bytes, which shorter output shares.
  it('is hashed as RFC 7914 says, with the cost that stands beside it', async () => {
    const stored = JSON.stringify({
      method: 'scrypt',
      N: 16384,
      r: 8,
      p: 1,
      salt: Buffer.from('SodiumChloride').toString('base64url'),
      key: Buffer.from('7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2', 'hex').toString('base64url'),
    });
    expect(await passwordIsRight('pleaseletmein', stored)).toBe(true);
    expect(await passwordIsRight('pleaseletmeout', stored)).toBe(false);
  });

  it('with a cost beyond all reason is not tried', async () => {
    const stored = JSON.stringify({ method: 'scrypt', N: 2 ** 30, r: 8, p: 1, salt: '', key: '' });
    await expect(passwordIsRight('x', stored)).rejects.toThrow();
  });
});
