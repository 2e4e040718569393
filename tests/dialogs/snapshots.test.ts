import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { step } from '#dialogs/conversation.ts';
import { readSnapshot, SNAPSHOT_VERSION } from '#dialogs/snapshot.ts';
import { ears, TODAY } from './caregiver.ts';

const FOLDER = new URL('snapshots/', import.meta.url);
const examples = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.json'))
  .map((file) => [file, JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')) as unknown] as const);

describe('conversations stored by this version and those before it', () => {
  it('are there for every version so far', () => {
    const versions = examples.map(([, stored]) => (stored as { version: number }).version);
    for (let version = 1; version <= SNAPSHOT_VERSION; version++) expect(versions).toContain(version);
  });

  it.each(examples)('are read and go on: %s', (_, stored) => {
    const read = readSnapshot(stored);
    expect(read.ok).toBe(true);
    if (!read.ok) return;
    const kept = read.snapshot.context.answers.length;
    const next = step(read.snapshot, { text: 'ayuda', choiceIds: [] }, TODAY, ears);
    expect(next.snapshot.context.answers).toHaveLength(kept);
    expect(next.case.children[0]?.weightKg).toBeCloseTo(14.97, 2);
    expect(next.reply.say.length).toBeGreaterThan(0);
  });

  it.each([
    ['no object', null],
    ['text', 'asking'],
    ['no version', { value: 'asking', context: {} }],
    ['an unknown state', { ...(examples[0]?.[1] as object), value: 'dancing' }],
    ['a context with too much', { ...(examples[0]?.[1] as object), context: { extra: true } }],
  ])('that are corrupt are refused as a value: %s', (_, stored) => {
    expect(readSnapshot(stored)).toEqual({ ok: false, reason: 'corrupt' });
  });

  it('of a later version are left alone', () => {
    const later = { ...(examples[0]?.[1] as object), version: SNAPSHOT_VERSION + 1 };
    expect(readSnapshot(later)).toEqual({ ok: false, reason: 'newer' });
  });
});
