import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import { PASSWORD_COST } from './password-cost.ts';

/** NIST SP 800-63B (revision 4, from memory): a password that is the only factor has at least 15 characters. */
export const MIN_PASSWORD_LENGTH = 15;
export const MAX_PASSWORD_LENGTH = 200;

const KEY_BYTES = 32;
const MAX_COST = { N: 2 ** 20, r: 16, p: 4 };

const storedSchema = z.strictObject({
  method: z.literal('scrypt'),
  N: z.int().min(2).max(MAX_COST.N),
  r: z.int().min(1).max(MAX_COST.r),
  p: z.int().min(1).max(MAX_COST.p),
  salt: z.string(),
  key: z.string(),
});

let last: Promise<unknown> = Promise.resolve();

/** One at a time: each takes 128 MiB, and a flood of tries must not take all there is. */
function oneAfterAnother<T>(work: () => Promise<T>): Promise<T> {
  const result = last.then(work);
  last = result.catch(() => undefined);
  return result;
}

function derive(password: string, salt: Buffer, cost: Required<Pick<ScryptOptions, 'N' | 'r' | 'p'>>): Promise<Buffer> {
  const options = { ...cost, maxmem: 256 * cost.N * cost.r };
  return oneAfterAnother(
    () =>
      new Promise((resolve, reject) => {
        scrypt(password.normalize('NFKC'), salt, KEY_BYTES, options, (error, key) =>
          error ? reject(error) : resolve(key),
        );
      }),
  );
}

/** A password as it is stored: a memory-hard hash with its salt and cost beside it, as JSON. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16);
  const key = await derive(password, salt, PASSWORD_COST);
  return JSON.stringify({
    method: 'scrypt',
    ...PASSWORD_COST,
    salt: salt.toString('base64url'),
    key: key.toString('base64url'),
  });
}

const DECOY = JSON.stringify({ method: 'scrypt', ...PASSWORD_COST, salt: 'AAAAAAAAAAAAAAAAAAAAAA', key: '' });

/**
 * True if the password is the one that was stored. Null for an account that does not exist: the same work is done,
 * so that the time taken does not tell which names do. Throws if what is stored is not a hash of ours.
 */
export async function passwordIsRight(password: string, stored: string | null): Promise<boolean> {
  const { N, r, p, salt, key } = storedSchema.parse(JSON.parse(stored ?? DECOY));
  const wanted = Buffer.from(key, 'base64url');
  const got = await derive(password.slice(0, MAX_PASSWORD_LENGTH), Buffer.from(salt, 'base64url'), { N, r, p });
  return wanted.length === got.length && timingSafeEqual(wanted, got);
}
