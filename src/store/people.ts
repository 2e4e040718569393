import { randomUUID } from 'node:crypto';
import type { Clock } from '#src/clock.ts';
import { nameKey, type Role } from './accounts.ts';
import type { Backend } from './backend.ts';
import { readEventIds } from './event-ids.ts';
import type { Database } from './tables.ts';

/** What an account may see and do. */
export interface Access {
  readonly role: Role;
  /** The events whose families it sees; null: all families, also those of no event. */
  readonly eventIds: readonly string[] | null;
}

/** Somebody with an account, as coordinators see them. */
export interface Person extends Access {
  readonly id: string;
  readonly name: string;
  readonly disabled: boolean;
  readonly hasPassword: boolean;
  /** Signs in through the identity provider. */
  readonly hasIdentity: boolean;
  readonly createdAt: string;
}

/** `last-coordinator`: nobody who can sign in would be left to let others in; nothing was changed. */
export type Changed = 'changed' | 'last-coordinator' | 'missing';

export interface PeopleStore {
  list(): Promise<readonly Person[]>;
  byId(id: string): Promise<Person | null>;
  byIdentity(identity: string): Promise<Person | null>;
  /** Makes an account without a password. `taken`: somebody has that name, however it is typed. */
  add(person: Access & { readonly name: string; readonly identity?: string }): Promise<Person | 'taken'>;
  change(id: string, access: Access): Promise<Changed>;
  setDisabled(id: string, disabled: boolean): Promise<Changed>;
  /** Keeps one link open with which the account's person chooses a password; an older one stops working. */
  keepLink(id: string, tokenHash: string, openForMs: number): Promise<void>;
  /** Whose link it is, while it is open and the account is not disabled. */
  byLink(tokenHash: string): Promise<Person | null>;
  /** Spends the link for a password or an identity. `refused`: spent or expired, or the identity is another account's. */
  spendLink(
    tokenHash: string,
    way: { readonly passwordHash: string } | { readonly identity: string },
  ): Promise<Person | 'refused'>;
}

const COLUMNS = ['id', 'name', 'role', 'event_ids', 'disabled', 'password_hash', 'identity', 'created_at'] as const;

interface Row {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly event_ids: string | null;
  readonly disabled: 0 | 1;
  readonly password_hash: string;
  readonly identity: string | null;
  readonly created_at: string;
}

const personOf = (row: Row): Person => ({
  id: row.id,
  name: row.name,
  role: row.role,
  eventIds: readEventIds(row.event_ids),
  disabled: row.disabled === 1,
  hasPassword: row.password_hash !== '',
  hasIdentity: row.identity !== null,
  createdAt: row.created_at,
});

const leads = (person: Person): boolean =>
  person.role === 'coordinator' && !person.disabled && (person.hasPassword || person.hasIdentity);

/** The people of the desk, as coordinators manage them. Changes run one at a time, so that the last coordinator stays. */
export function peopleStore({ db, alone }: Backend, clock: Clock): PeopleStore {
  const all = async (database: Database): Promise<readonly Person[]> =>
    (await database.selectFrom('accounts').select(COLUMNS).orderBy('name_key').execute()).map(personOf);

  const one = async (column: 'id' | 'identity' | 'name_key', value: string, database = db): Promise<Person | null> => {
    const row = await database.selectFrom('accounts').select(COLUMNS).where(column, '=', value).executeTakeFirst();
    return row ? personOf(row) : null;
  };

  /** Changes an account, unless nobody who leads would be left. */
  const keepingLead = (
    id: string,
    next: (person: Person) => Person,
    write: (trx: Database) => Promise<unknown>,
  ): Promise<Changed> =>
    alone('people', () =>
      db.transaction().execute(async (trx) => {
        const people = await all(trx);
        const person = people.find((each) => each.id === id);
        if (!person) return 'missing';
        const after = people.map((each) => (each.id === id ? next(each) : each));
        if (leads(person) && !after.some(leads)) return 'last-coordinator';
        await write(trx);
        return 'changed';
      }),
    );

  const openLink = (tokenHash: string, database = db) =>
    database
      .selectFrom('password_links')
      .select('account_id')
      .where('token_hash', '=', tokenHash)
      .where('expires_at', '>', clock().toISOString())
      .executeTakeFirst();

  return {
    list: () => all(db),
    byId: (id) => one('id', id),
    byIdentity: (identity) => one('identity', identity),

    add: ({ name, role, eventIds, identity }) =>
      alone('people', () =>
        db.transaction().execute(async (trx) => {
          if (await one('name_key', nameKey(name), trx)) return 'taken';
          const id = randomUUID();
          await trx
            .insertInto('accounts')
            .values({
              id,
              name: name.trim(),
              name_key: nameKey(name),
              role,
              event_ids: eventIds && JSON.stringify(eventIds),
              disabled: 0,
              identity: identity ?? null,
              password_hash: '',
              created_at: clock().toISOString(),
            })
            .execute();
          const made = await one('id', id, trx);
          if (!made) throw new Error('an account that was just made is not there');
          return made;
        }),
      ),

    change: (id, { role, eventIds }) =>
      keepingLead(
        id,
        (person) => ({ ...person, role, eventIds }),
        (trx) =>
          trx
            .updateTable('accounts')
            .set({ role, event_ids: eventIds && JSON.stringify(eventIds) })
            .where('id', '=', id)
            .execute(),
      ),

    setDisabled: (id, disabled) =>
      keepingLead(
        id,
        (person) => ({ ...person, disabled }),
        async (trx) => {
          await trx
            .updateTable('accounts')
            .set({ disabled: disabled ? 1 : 0 })
            .where('id', '=', id)
            .execute();
          if (!disabled) return;
          await trx.deleteFrom('sessions').where('account_id', '=', id).execute();
          await trx.deleteFrom('password_links').where('account_id', '=', id).execute();
        },
      ),

    async keepLink(id, tokenHash, openForMs) {
      const expiresAt = new Date(clock().getTime() + openForMs).toISOString();
      await db.transaction().execute(async (trx) => {
        await trx.deleteFrom('password_links').where('account_id', '=', id).execute();
        const link = { token_hash: tokenHash, account_id: id, expires_at: expiresAt };
        await trx.insertInto('password_links').values(link).execute();
      });
    },

    async byLink(tokenHash) {
      const link = await openLink(tokenHash);
      const person = link ? await one('id', link.account_id) : null;
      return person?.disabled ? null : person;
    },

    spendLink: (tokenHash, way) =>
      alone('people', () =>
        db.transaction().execute(async (trx) => {
          const link = await openLink(tokenHash, trx);
          const person = link ? await one('id', link.account_id, trx) : null;
          if (!person || person.disabled) return 'refused';
          if ('identity' in way) {
            const holder = await one('identity', way.identity, trx);
            if (holder && holder.id !== person.id) return 'refused';
          }
          await trx.deleteFrom('password_links').where('token_hash', '=', tokenHash).execute();
          // Whoever knew the old password is out from here on.
          await trx.deleteFrom('sessions').where('account_id', '=', person.id).execute();
          await trx
            .updateTable('accounts')
            .set('identity' in way ? { identity: way.identity } : { password_hash: way.passwordHash })
            .where('id', '=', person.id)
            .execute();
          return (await one('id', person.id, trx)) ?? 'refused';
        }),
      ),
  };
}
