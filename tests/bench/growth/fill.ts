import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { leftAfter, realTurns } from './real-turns.ts';

const SAID = ['yes', '1', '2 years, 28 lb, 35 in'];
const TEMPLATE = 'template';

const NUMBERS = 'with recursive number(n) as (select 1 union all select n + 1 from number where n < ?)';

/** Fills an embedded database with so many conversations that were left: one that was led, and copies of its rows. */
export async function fill(dataDir: string, conversations: number): Promise<void> {
  const real = await realTurns(dataDir);
  await leftAfter(real, TEMPLATE, SAID);
  await real.close();
  const database = new DatabaseSync(join(dataDir, 'lapwing.db'));
  database.exec('pragma synchronous = off; begin');
  const copied = {
    conversations: 'id',
    thread: 'conversation_id',
    activities: 'conversation_id',
    cases: 'conversation_id',
  };
  for (const [table, id] of Object.entries(copied)) {
    const names = database
      .prepare(`select name from pragma_table_info('${table}')`)
      .all()
      .map(({ name }) => String(name));
    // Spread as the hashes are that stand for the conversations of a channel.
    const copy = (name: string) =>
      name === id || name === 'reference'
        ? `substr('abcdefghijklmnop', 1 + (n * 7919) % 16, 1) || n || '-' || ${name}`
        : name;
    const values = names.map(copy).join(', ');
    database
      .prepare(
        `insert into ${table} (${names.join(', ')}) ${NUMBERS} select ${values} from ${table}, number where ${id} = ?`,
      )
      .run(conversations, TEMPLATE);
  }
  database.exec('commit; pragma wal_checkpoint(truncate)');
  database.close();
}
