import type { RenderedReply } from './rendered-reply.ts';

const tidy = (text: string): string => text.normalize('NFKC').trim().replace(/[.!]$/, '').toLowerCase();

/**
 * Ids of the choices whose words a caregiver typed or tapped, one or several parted by commas; empty for anything else.
 * Words belong to this layer, so the conversation itself only ever sees ids.
 */
export function choicesInWords(text: string, shown: RenderedReply | null): readonly string[] {
  if (!shown) return [];
  const byWords = new Map(shown.choices.map(({ id, text: label }) => [tidy(label), id]));
  const whole = byWords.get(tidy(text));
  if (whole !== undefined) return [whole];
  if (!shown.many) return [];
  const ids = text.split(/[;\n]|,\s/).map((part) => byWords.get(tidy(part)));
  return ids.every((id) => id !== undefined) ? (ids as string[]) : [];
}
