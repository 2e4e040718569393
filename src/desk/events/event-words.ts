import type { CheckEvent } from '#src/store/events.ts';
import type { Voice } from '../voice.ts';

/** When an event is held, in words: the day, and its hours by the clocks of the place. */
export function whenWords(voice: Voice, { heldOn, hours }: Pick<CheckEvent, 'heldOn' | 'hours'>): string {
  const day = new Intl.DateTimeFormat(voice.language, { dateStyle: 'full', timeZone: 'UTC' }).format(new Date(heldOn));
  if (!hours) return day;
  const clock = (time: string) => voice.measures.time(`${heldOn}T${time}:00.000Z`, 'UTC');
  return voice.say('event.when', { day, from: clock(hours.opensAt), to: clock(hours.closesAt) });
}

/** Languages in the order of their names. */
export const byName = ({ measures, language }: Voice, tags: readonly string[]): readonly string[] =>
  tags.toSorted((a, b) => measures.languageName(a).localeCompare(measures.languageName(b), language));
