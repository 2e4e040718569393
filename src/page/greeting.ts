import { begin } from '#dialogs/conversation.ts';
import type { Clock } from '#src/clock.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { ourLanguage } from '#src/turns/turns.ts';
import type { Voice } from '#src/words/voice.ts';

/** What a conversation opened in a language begins with. Nothing is opened by asking. */
export type Greeting = (language: string) => RenderedReply | null;

export function createGreeting(voice: Voice, clock: Clock): Greeting {
  return (tag) => {
    const language = ourLanguage(tag);
    if (!language) return null;
    const today = clock().toISOString().slice(0, 10);
    const { reply } = begin({ language, languageKnown: true, eventId: null, reference: '', today });
    return voice.render(language, reply);
  };
}
