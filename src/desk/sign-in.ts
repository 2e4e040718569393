import type { Account } from '#src/store/accounts.ts';
import type { DeskDeps } from './deps.ts';
import { hashPassword, MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH, passwordIsRight } from './password.ts';
import { newToken, tokenHash } from './secrets.ts';

/** A session lasts for one long day at an event. */
export const SESSION_MS = 12 * 60 * 60 * 1000;

const FREE_TRIES = 5;
const FIRST_DELAY_MS = 30_000;
const LONGEST_DELAY_MS = 15 * 60_000;

/** The wait after so many wrong passwords in a row: none for a few, then twice as long each time, up to 15 minutes. */
export const delayAfter = (failures: number): number =>
  failures < FREE_TRIES ? 0 : Math.min(FIRST_DELAY_MS * 2 ** (failures - FREE_TRIES), LONGEST_DELAY_MS);

export const MAX_NAME_LENGTH = 80;

type People = Pick<DeskDeps, 'store' | 'clock'>;

/** Opens a session; the token goes into the browser's cookie, its hash into the store. */
async function openSession({ store }: People, account: Pick<Account, 'id'>): Promise<string> {
  const token = newToken();
  await store.sessions.add(tokenHash(token), account.id, SESSION_MS);
  return token;
}

/**
 * Signs in; gives the session's token, or null. Every refusal takes the same work and says the same, whether the name
 * exists, the password is wrong, or the account waits after too many tries.
 */
export async function signIn(people: People, name: string, password: string): Promise<string | null> {
  const { accounts, audit } = people.store;
  const wanted = name.slice(0, MAX_NAME_LENGTH);
  const right = await passwordIsRight(password, (await accounts.byName(wanted))?.passwordHash || null);
  // Read again: tries sent all at once are counted while this one waits for its turn.
  const account = await accounts.byName(wanted);
  if (!account || account.disabled || account.passwordHash === '') return null;
  const waiting = account.notBefore !== null && people.clock().toISOString() < account.notBefore;
  if (waiting || !right) {
    if (!waiting) await accounts.countFailure(account.id, delayAfter);
    await audit.note({ accountId: account.id, action: 'sign-in-refused', subject: null });
    return null;
  }
  await accounts.clearFailures(account.id);
  await audit.note({ accountId: account.id, action: 'signed-in', subject: null });
  return openSession(people, account);
}

export type FirstProblem = 'nameMissing' | 'passwordShort' | 'passwordLong' | 'passwordIsName' | 'passwordsDiffer';

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
  await store.accounts.clearFailures(person.id);
  await store.audit.note({ accountId: person.id, action: 'password-chosen', subject: person.id });
  return openSession(people, person);
}
