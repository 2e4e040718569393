import type { KyselyPlugin, OperationNode, RootOperationNode } from 'kysely';
import type { FieldCipher } from '#src/protection/field-cipher.ts';
import type { Tables } from './tables.ts';

/** Columns with what people said, under names that no other table has for something else. */
export const SEALED_COLUMNS = {
  conversations: ['snapshot', 'channel_address'],
  thread: ['text', 'reply'],
  cases: ['children', 'summary', 'rides', 'visit_seen'],
  outbox: ['payload'],
  kept_forms: ['kept_fields'],
  visit_entries: ['entry'],
  arrivals: ['walk_in_name'],
  label_photos: ['photo', 'thumbnail', 'photo_reading'],
} as const satisfies { readonly [T in keyof Tables]?: readonly (keyof Tables[T])[] };

const NAMES: ReadonlySet<string> = new Set(Object.values(SEALED_COLUMNS).flat());

type ColumnUpdate = OperationNode & { readonly column: OperationNode; readonly value: OperationNode };

const nameOf = (column: OperationNode): string =>
  (column as { readonly column?: { readonly name?: string } }).column?.name ?? '';

const sealedIn = (table: string | undefined): readonly string[] =>
  (SEALED_COLUMNS as Readonly<Record<string, readonly string[]>>)[table ?? ''] ?? [];

/** A column that is sealed takes plain values only: an expression would be worked out by the database, which has no key. */
function refuse(column: string): never {
  throw new TypeError(`the column ${column} is sealed and takes text or null only`);
}

/** Seals what is written to these columns and opens what is read, so that nothing above knows of it. */
export function sealedColumns(cipher: FieldCipher): KyselyPlugin {
  const sealed = (column: string, value: unknown): unknown => {
    if (value === null || value === undefined) return value;
    return typeof value === 'string' ? cipher.seal(column, value) : refuse(column);
  };

  const sealedNode = (column: string, node: OperationNode): OperationNode => {
    if (node.kind === 'ValueNode')
      return { ...node, value: sealed(column, (node as { value?: unknown }).value) } as OperationNode;
    // `excluded.x` of an upsert names a value that this same insert has sealed.
    return node.kind === 'ReferenceNode' || node.kind === 'DefaultInsertValueNode' ? node : refuse(column);
  };

  const sealedUpdates = <T extends ColumnUpdate>(updates: readonly T[], columns: readonly string[]): readonly T[] =>
    updates.map((update) => {
      const name = nameOf(update.column);
      return columns.includes(name) ? { ...update, value: sealedNode(name, update.value) } : update;
    });

  const sealedRow = (row: OperationNode, names: readonly string[], columns: readonly string[]): OperationNode => {
    const { values } = row as unknown as { readonly values: readonly unknown[] };
    const changed = values.map((value, i) => {
      const name = names[i] ?? '';
      if (!columns.includes(name)) return value;
      return row.kind === 'PrimitiveValueListNode' ? sealed(name, value) : sealedNode(name, value as OperationNode);
    });
    return { ...row, values: changed } as OperationNode;
  };

  return {
    transformQuery({ node }): RootOperationNode {
      if (node.kind === 'InsertQueryNode') {
        const columns = sealedIn(node.into?.table.identifier.name);
        if (columns.length === 0 || !node.values) return node;
        if (node.values.kind !== 'ValuesNode') return refuse(columns.join(', '));
        const names = (node.columns ?? []).map(nameOf);
        const rows = (node.values as unknown as { readonly values: readonly OperationNode[] }).values;
        const values = { ...node.values, values: rows.map((row) => sealedRow(row, names, columns)) } as OperationNode;
        const { onConflict } = node;
        if (!onConflict?.updates) return { ...node, values };
        return { ...node, values, onConflict: { ...onConflict, updates: sealedUpdates(onConflict.updates, columns) } };
      }
      if (node.kind === 'UpdateQueryNode' && node.updates) {
        const { table } = node;
        const name =
          table?.kind === 'TableNode'
            ? (table as never as { table: { identifier: { name: string } } }).table.identifier.name
            : undefined;
        return { ...node, updates: sealedUpdates(node.updates, sealedIn(name)) };
      }
      return node;
    },

    async transformResult({ result }) {
      const openedRow = (row: Readonly<Record<string, unknown>>) => {
        const opened = Object.entries(row).map(([name, value]) => {
          if (!NAMES.has(name) || typeof value !== 'string') return [name, value] as const;
          const read = cipher.open(name, value);
          // Whoever reads it finds no JSON, and knows what to do with a value that cannot be read.
          return [name, read.ok ? read.text : ''] as const;
        });
        return Object.fromEntries(opened);
      };
      return { ...result, rows: result.rows.map(openedRow) };
    },
  };
}
