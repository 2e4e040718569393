import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isCommonPassword } from '#src/desk/common-password.ts';

describe('a password is too common', () => {
  it.each([
    ['a common word, again and again', 'passwordpassword'],
    ['the same with signs for letters', 'P@ssw0rd-P@ssw0rd!'],
    ['a common word with a year and a sign', 'Welcome2026welcome!'],
    ['rows of keys', 'qwertyuiopasdfgh'],
    ['rows of keys from the end', 'poiuytrewq0987654321'],
    ['digits in order', '1234567890123456'],
    ['signs in order', '!@#$%^&*()!@#$%^'],
    ['the alphabet', 'abcdefghijklmnopq'],
    ['one character', 'aaaaaaaaaaaaaaaaaaaa'],
    ['a few characters, repeated', 'zk7zk7zk7zk7zk7zk7'],
    ['the name of the service', 'Lapwing lapwing 2026'],
    ['what the service is for', 'car seat check 2026'],
    ['the name of the account, lengthened', 'robinash123456789'],
    ['the name of the account, turned about', 'Ash Robin ash robin'],
    ['a word of another language', 'contraseña contraseña'],
  ])('as %s', (_, password) => {
    expect(isCommonPassword(password, 'Robin Ash')).toBe(true);
  });

  it.each([
    'a calm green meadow',
    'four words in a row',
    'seven geese over the lake',
    'a long password for tests',
    '朝の散歩は川のそばがいい気持ち',
    'kV8#tq0!Zr5$wL2',
  ])('not as %s', (password) => {
    expect(isCommonPassword(password, 'Robin Ash')).toBe(false);
  });

  it('whoever has the name, by the name alone', () => {
    expect(isCommonPassword('wilhelmina-2024-wilhelmina', 'Wilhelmina')).toBe(true);
    expect(isCommonPassword('wilhelmina-2024-wilhelmina', 'Robin Ash')).toBe(false);
  });

  it('never for one made by chance, and always for one repeated from too little', () => {
    const letters = [...'bdfhjkmnprtvwxyz'];
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...letters), { minLength: 1, maxLength: 5 }),
        fc.integer({ min: 4, max: 30 }),
        (piece, times) => {
          expect(isCommonPassword(piece.join('').repeat(times), 'Robin Ash')).toBe(true);
        },
      ),
      { seed: 20260516 },
    );
    fc.assert(
      fc.property(fc.uniqueArray(fc.constantFrom(...letters), { minLength: 15, maxLength: 16 }), (characters) => {
        expect(isCommonPassword(characters.join(''), 'Robin Ash')).toBe(false);
      }),
      { seed: 20260516 },
    );
  });

  it('is told at once also of the longest', () => {
    expect(isCommonPassword('ab'.repeat(100), 'n'.repeat(80))).toBe(true);
    expect(isCommonPassword('', '')).toBe(true);
  });
});
