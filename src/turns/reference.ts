import { randomInt } from 'node:crypto';

/** Without letters and digits that are mixed up when read aloud or from paper. */
const ALPHABET = '23456789ABCDEFGHJKMNPQRSTVWXYZ';
const LENGTH = 8;

/** A code such as `K7QM-2RXD` by which a family and a technician name a case. */
export function newReference(): string {
  const letters = Array.from({ length: LENGTH }, () => ALPHABET[randomInt(ALPHABET.length)]).join('');
  return `${letters.slice(0, LENGTH / 2)}-${letters.slice(LENGTH / 2)}`;
}
