import { expect } from 'vitest';
import { begin, type Step, step } from '#dialogs/conversation.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import { createEars } from '#src/locales/ears.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

export const TODAY = '2026-05-16';
export const ears = createEars();
export const voice = createVoice(createWords());

/** A caregiver who talks to the conversation itself; every call is one message and gives the step after it. */
export interface Caregiver {
  now: Step;
  readonly says: (text: string, today?: string) => Step;
  readonly taps: (...choiceIds: string[]) => Step;
  /** The words of the latest turn, joined. */
  readonly heard: () => string;
}

export function caregiver(language: Language = 'en', languageKnown = true): Caregiver {
  const send = (text: string, choiceIds: readonly string[], today: string): Step => {
    self.now = step(self.now.snapshot, { text, choiceIds }, today, ears);
    return self.now;
  };
  const self: Caregiver = {
    now: begin({ language, languageKnown, eventId: null, reference: 'TEST-CODE', today: TODAY }),
    says: (text, today = TODAY) => send(text, [], today),
    taps: (...choiceIds) => send('', choiceIds, TODAY),
    heard: () => voice.render(self.now.snapshot.context.language, self.now.reply).say.join('\n'),
  };
  return self;
}

/** A caregiver who has consented and said that there is one child. */
export function caregiverOfOne(language: Language = 'en'): Caregiver {
  const self = caregiver(language);
  self.says('yes');
  self.taps('1');
  return self;
}

/** Answers by tapping until a question is asked; what is not named is answered with "I don't know". */
export function until(self: Caregiver, asking: string, taps: Readonly<Record<string, string>> = {}): void {
  for (let turns = 0; turns < 60 && self.now.reply.asking !== asking; turns++) {
    const ids = self.now.reply.choices.map(({ id }) => id);
    self.taps(taps[self.now.reply.asking ?? ''] ?? (ids.includes('unsure') ? 'unsure' : (ids[0] as string)));
  }
  expect(self.now.reply.asking).toBe(asking);
}
