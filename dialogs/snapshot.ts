import { z } from 'zod';
import { intakeMachine, STATES } from './intake.machine.ts';
import { intakeContextSchema } from './intake-context.ts';

/** Grows with every change of the context's shape; `UPGRADES` then gets the step from the version before. */
export const SNAPSHOT_VERSION = 2;

const snapshotSchema = z.strictObject({
  version: z.literal(SNAPSHOT_VERSION),
  value: z.enum(STATES as [string, ...string[]]),
  context: intakeContextSchema,
});

export type Snapshot = z.infer<typeof snapshotSchema>;

/** Steps that lead a stored snapshot from one version to the next, by the version they start from. */
const UPGRADES: Readonly<Record<number, (old: Record<string, unknown>) => Record<string, unknown>>> = {
  1: (old) => ({ ...old, version: 2, context: { ...(old.context as object), earlier: [] } }),
};

export type SnapshotResult = { ok: true; snapshot: Snapshot } | { ok: false; reason: 'corrupt' | 'newer' };

function upgraded(stored: unknown): unknown {
  let current = stored;
  for (;;) {
    const version = (current as { version?: unknown } | null)?.version;
    const step = typeof version === 'number' ? UPGRADES[version] : undefined;
    if (!step) return current;
    current = step(current as Record<string, unknown>);
  }
}

/** Checks a stored snapshot and brings it up to date. A snapshot that cannot be used is a value, not an exception. */
export function readSnapshot(stored: unknown): SnapshotResult {
  const version = (stored as { version?: unknown } | null)?.version;
  if (typeof version === 'number' && version > SNAPSHOT_VERSION) return { ok: false, reason: 'newer' };
  const parsed = snapshotSchema.safeParse(upgraded(stored));
  return parsed.success ? { ok: true, snapshot: parsed.data } : { ok: false, reason: 'corrupt' };
}

/** The running machine state of a checked snapshot. */
export const stateOf = ({ value, context }: Snapshot) =>
  intakeMachine.resolveState({ value: value as 'asking', context });

export const snapshotOf = (state: { value: unknown; context: Snapshot['context'] }): Snapshot => ({
  version: SNAPSHOT_VERSION,
  value: String(state.value),
  context: state.context,
});
