import type { Account } from '#src/store/accounts.ts';
import { isCommonPassword } from './common-password.ts';
import { type DeskDeps, SESSION_LIMITS } from './deps.ts';
import { delayAfter, delayOfAddress, type GuessKeys } from './guessing.ts';
import { hashPassword, MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH, passwordIsRight } from './password.ts';
import { newToken, tokenHash } from './secrets.ts';

export const sessionMs = ({ sessions = SESSION_LIMITS }: Pick<DeskDeps, 'sessions'>): number =>
  sessions.hours * 60 * 60 * 1000;

export const MAX_NAME_LENGTH = 80;

type People = Pick<DeskDeps, 'store' | 'sessions'>;

/** Opens a session; the token goes into the browser's cookie, its hash into the store. */
export async function openSession(people: People, account: Pick<Account, 'id'>): Promise<string> {
  const token = newToken();
  await people.store.sessions.add(tokenHash(token), account.id, sessionMs(people));
  return token;
}

/** `waitMs`: after too many wrong tries nobody is let in before that time is over; 0 while there are tries left. */
export type SignInResult =
  | { readonly ok: true; readonly session: string }
  | { readonly ok: false; readonly waitMs: number };

/**
 * Signs in with a password. Every refusal takes the same work and says the same, whether the name exists, the password
 * is wrong, the account is closed or has no password; waits are counted by the name as typed and by the address.
 */
export async function signIn(people: People, name: string, password: string, keys: GuessKeys): Promise<SignInResult> {
  const { accounts, audit, guesses } = people.store;
  const all = [keys.name, ...(keys.address === null ? [] : [keys.address])];
  const before = await guesses.wait(all);
  if (before > 0) return { ok: false, waitMs: before };
  const account = await accounts.byName(name.slice(0, MAX_NAME_LENGTH));
  const right = await passwordIsRight(password, account?.passwordHash || null);
  // Again: tries sent all at once are counted while this one waits for its turn.
  const meanwhile = await guesses.wait(all);
  if (meanwhile > 0) return { ok: false, waitMs: meanwhile };
  if (account && right && !account.disabled && account.passwordHash !== '') {
    await guesses.clear(all);
    await audit.note({ accountId: account.id, action: 'signed-in', subject: null });
    return { ok: true, session: await openSession(people, account) };
  }
  if (account) await audit.note({ accountId: account.id, action: 'sign-in-refused', subject: null });
  const waits = [await guesses.count(keys.name, delayAfter)];
  if (keys.address !== null) waits.push(await guesses.count(keys.address, delayOfAddress));
  return { ok: false, waitMs: Math.max(...waits) };
}

export type FirstProblem =
  | 'nameMissing'
  | 'passwordShort'
  | 'passwordLong'
  | 'passwordIsName'
  | 'passwordCommon'
  | 'passwordsDiffer';

export interface FirstForm {
  readonly name: string;
  readonly password: string;
  readonly again: string;
}

const length = (text: string): number => [...text].length;

/** What has to be corrected before the first account can be made; null when nothing. */
export function firstProblem({ name, password, again }: FirstForm): FirstProblem | null {
  if (name.trim() === '' || length(name) > MAX_NAME_LENGTH) return 'nameMissing';
  if (length(password) < MIN_PASSWORD_LENGTH) return 'passwordShort';
  if (password.length > MAX_PASSWORD_LENGTH) return 'passwordLong';
  if (password.trim().toLowerCase() === name.trim().toLowerCase()) return 'passwordIsName';
  if (isCommonPassword(password, name)) return 'passwordCommon';
  return password === again ? null : 'passwordsDiffer';
}

/** Makes the first coordinator and signs them in; null when the link is spent or has run out. */
export async function makeFirst(people: People, linkToken: string, form: FirstForm): Promise<string | null> {
  const { accounts, audit } = people.store;
  if (!(await accounts.firstLinkIsOpen(tokenHash(linkToken)))) return null;
  const passwordHash = await hashPassword(form.password);
  const account = await accounts.addFirst(tokenHash(linkToken), { name: form.name, role: 'coordinator', passwordHash });
  if (account === 'refused') return null;
  await audit.note({ accountId: account.id, action: 'account-made', subject: null });
  return openSession(people, account);
}

/** Chooses the password of the account that a link is for, and signs in; null when the link is spent or has run out. */
export async function choosePassword(people: People, linkToken: string, password: string): Promise<string | null> {
  const { store } = people;
  const passwordHash = await hashPassword(password);
  const person = await store.people.spendLink(tokenHash(linkToken), { passwordHash });
  if (person === 'refused') return null;
  await store.audit.note({ accountId: person.id, action: 'password-chosen', subject: person.id });
  return openSession(people, person);
}
