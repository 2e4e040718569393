import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/**
 * A reply as lines for a channel that has words only: what is said, then the choices by number. A line that a choice
 * repeats, as in the review, stands once, with its number.
 */
export function numberedLines({ say, choices }: RenderedReply): readonly string[] {
  const offered = new Set(choices.map(({ text }) => text));
  return [...say.filter((text) => !offered.has(text)), ...choices.map(({ text }, i) => `${i + 1}) ${text}`)];
}
