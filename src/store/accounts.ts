import { randomUUID } from 'node:crypto';
import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

export const ROLES = ['coordinator', 'technician', 'read-only'] as const;
export type Role = (typeof ROLES)[number];

export interface Account {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  /** Empty where the account has no password. */
  readonly passwordHash: string;
  readonly disabled: boolean;
}

export interface NewAccount {
  readonly name: string;
  readonly role: Role;
  readonly passwordHash: string;
}

export interface AccountStore {
  count(): Promise<number>;
  /** Upper and lower case, and the ways Unicode has of writing one character, make no difference. */
  byName(name: string): Promise<Account | null>;
  /** Keeps one link open for the first coordinator, for so long from now; an older one stops working. */
  keepFirstLink(tokenHash: string, openForMs: number): Promise<void>;
  firstLinkIsOpen(tokenHash: string): Promise<boolean>;
  /** Spends the link and makes the account, both or neither. `refused`: spent, expired, or an account exists. */
  addFirst(tokenHash: string, account: NewAccount): Promise<Account | 'refused'>;
}

export const nameKey = (name: string): string => name.normalize('NFKC').trim().toLowerCase();

const COLUMNS = ['id', 'name', 'role', 'password_hash as passwordHash', 'disabled'] as const;

/** Local accounts of the desk. Hashing and the rules of sign-in stand in `src/desk`. */
export function accountStore(db: Database, clock: Clock): AccountStore {
  const openLink = (tokenHash: string) =>
    db
      .selectFrom('first_links')
      .select('token_hash')
      .where('token_hash', '=', tokenHash)
      .where('expires_at', '>', clock().toISOString())
      .executeTakeFirst();

  const count = async (): Promise<number> => {
    const { total } = await db
      .selectFrom('accounts')
      .select((eb) => eb.fn.countAll().as('total'))
      .executeTakeFirstOrThrow();
    return Number(total);
  };

  return {
    count,

    async byName(name) {
      const row = await db
        .selectFrom('accounts')
        .select(COLUMNS)
        .where('name_key', '=', nameKey(name))
        .executeTakeFirst();
      return row ? { ...row, disabled: row.disabled === 1 } : null;
    },

    async keepFirstLink(tokenHash, openForMs) {
      const expiresAt = new Date(clock().getTime() + openForMs).toISOString();
      await db.transaction().execute(async (trx) => {
        await trx.deleteFrom('first_links').execute();
        await trx.insertInto('first_links').values({ token_hash: tokenHash, expires_at: expiresAt }).execute();
      });
    },

    firstLinkIsOpen: async (tokenHash) => (await count()) === 0 && (await openLink(tokenHash)) !== undefined,

    addFirst: (tokenHash, { name, role, passwordHash }) =>
      db.transaction().execute(async (trx) => {
        const now = clock().toISOString();
        const { numDeletedRows } = await trx
          .deleteFrom('first_links')
          .where('token_hash', '=', tokenHash)
          .where('expires_at', '>', now)
          .executeTakeFirstOrThrow();
        const taken = await trx.selectFrom('accounts').select('id').limit(1).executeTakeFirst();
        if (numDeletedRows !== 1n || taken) return 'refused';
        const account = { id: randomUUID(), name: name.trim(), role };
        await trx
          .insertInto('accounts')
          .values({
            ...account,
            name_key: nameKey(name),
            password_hash: passwordHash,
            created_at: now,
            event_ids: null,
            disabled: 0,
            identity: null,
          })
          .execute();
        return { ...account, passwordHash, disabled: false };
      }),
  };
}
