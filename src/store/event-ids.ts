import { z } from 'zod';
import { jsonOrNull } from './json.ts';

const schema = z.array(z.string());

/** The events an account sees, as stored; null: all. What cannot be read lets nothing be seen. */
export function readEventIds(stored: string | null): readonly string[] | null {
  return stored === null ? null : (schema.safeParse(jsonOrNull(stored)).data ?? []);
}
