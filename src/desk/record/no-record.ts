import { paths } from '../paths.ts';
import { messagePage } from '../sign-in-pages.ts';
import type { Desk, Visit } from '../visit.ts';

/** What stands in the place of a case's record, with the way back to the list. */
export function noRecord({ voice }: Desk) {
  const message = (here: Visit, status: number, title: string, text: string) =>
    here.show(status, () => messagePage(title, text, { href: paths.list, text: voice.say('page.back') }));
  return {
    message,
    gone: (here: Visit, reference: string) =>
      message(here, 410, voice.say('record.goneTitle'), voice.say('record.gone', { reference })),
    unreadable: (here: Visit, reference: string) =>
      message(here, 500, voice.say('problem.unreadableTitle'), voice.say('problem.unreadable', { reference })),
  };
}
