import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/**
 * A reply as plain text for clients that know nothing of ours: paragraphs parted by blank lines.
 * Where several choices may be made at once they are numbered, since buttons take only one.
 */
export function replyText({ say, choices, many }: RenderedReply): string {
  const list = many ? [choices.map(({ text }, index) => `${index + 1}. ${text}`).join('\n')] : [];
  return [...say, ...list].join('\n\n');
}
