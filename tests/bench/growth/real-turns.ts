import { randomUUID } from 'node:crypto';
import { createEars } from '#src/locales/ears.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { openStore } from '#src/store/open-store.ts';
import { inOrder } from '#src/turns/in-order.ts';
import { newReference } from '#src/turns/reference.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

export const SECRET = 'a key of the bench, and of nothing else';

/** The service's turns over its embedded database, put together as the service does, without a server around them. */
export async function realTurns(dataDir: string) {
  const clock = () => new Date();
  const store = await openStore({ dataDir, clock, cipher: createFieldCipher(SECRET, []) });
  const steps = createTurns({
    conversations: store.conversations,
    cases: store.cases,
    voice: createVoice(createWords()),
    ears: createEars(),
    clock,
    newReference,
    newId: randomUUID,
  });
  return { turns: inOrder(steps, store.alone), close: store.close };
}

export type RealTurns = Awaited<ReturnType<typeof realTurns>>;

/** A conversation that is left after some answers. */
export async function leftAfter({ turns }: RealTurns, conversationId: string, said: readonly string[]): Promise<void> {
  const start = { conversationId, channel: 'bot-framework', language: 'en' } as const;
  await turns.open(start);
  for (const [i, text] of said.entries()) await turns.handle({ ...start, activityId: `c:${i}`, text });
}
