import { type Kysely, SqliteAdapter, sql } from 'kysely';

/**
 * What the database itself refuses of visit entries, whoever asks: to change one, to take one out while its conversation
 * is there, and to add anything but corrections after the sign-off. Only sealing under another key may write a value anew.
 */
const REFUSALS = {
  changed: 'a visit entry is never changed',
  taken: 'a visit entry goes with its conversation only',
  signed: 'the record is signed: only corrections may follow',
} as const;

const RESEALING = 'exists (select 1 from sealing_keys where everywhere = 0)';
/** What a record belongs to: a case, or in older databases the conversation. */
type Owner = 'conversation_id' | 'reference';

const sameButValue = (owner: Owner): string =>
  [...new Set([owner, 'conversation_id']), 'seq', 'id', 'kind', 'account_id', 'at', 'received_at']
    .map((column) => `new.${column} = old.${column}`)
    .join(' and ');
const STILL_THERE = `exists (select 1 from conversations where id = old.conversation_id and state <> 'deleted')`;
const signed = (owner: Owner): string => `new.kind <> 'correction' and exists (
  select 1 from visit_entries where ${owner} = new.${owner} and kind = 'sign-off')`;

async function onSqlite(db: Kysely<unknown>, owner: Owner): Promise<void> {
  const guard = (name: string, event: string, when: string, refusal: string) =>
    sql
      .raw(`create trigger visit_entries_${name} before ${event} on visit_entries when ${when}
      begin select raise(abort, '${refusal}'); end`)
      .execute(db);
  await guard('unchanged', 'update', `not (${RESEALING} and ${sameButValue(owner)})`, REFUSALS.changed);
  await guard('kept', 'delete', STILL_THERE, REFUSALS.taken);
  await guard('signed', 'insert', signed(owner), REFUSALS.signed);
}

async function onPostgres(db: Kysely<unknown>, owner: Owner): Promise<void> {
  await sql
    .raw(`create or replace function visit_entries_guard() returns trigger language plpgsql as $$
    begin
      if tg_op = 'UPDATE' then
        if not (${RESEALING} and ${sameButValue(owner)}) then raise exception '${REFUSALS.changed}'; end if;
        return new;
      elsif tg_op = 'DELETE' then
        if ${STILL_THERE} then raise exception '${REFUSALS.taken}'; end if;
        return old;
      end if;
      if ${signed(owner)} then raise exception '${REFUSALS.signed}'; end if;
      return new;
    end $$`)
    .execute(db);
  await sql
    .raw(`create trigger visit_entries_guard before insert or update or delete on visit_entries
    for each row execute function visit_entries_guard()`)
    .execute(db);
}

/** Puts the guards on the table; each database has its own way to say them. A table that goes takes its guards with it. */
export const guardVisitEntries = (db: Kysely<unknown>, owner: Owner): Promise<void> =>
  db.getExecutor().adapter instanceof SqliteAdapter ? onSqlite(db, owner) : onPostgres(db, owner);
