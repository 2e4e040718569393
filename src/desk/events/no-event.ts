import { paths } from '../paths.ts';
import { messagePage } from '../sign-in-pages.ts';
import type { Desk, Visit } from '../visit.ts';

/** Answers an address of an event, or of something of it, that is not there. */
export function noEvent({ voice }: Desk, here: Visit): void {
  const back = { href: paths.events, text: voice.say('event.back') };
  here.show(404, () => messagePage(voice.say('event.missing'), voice.say('event.missingWhy'), back));
}
