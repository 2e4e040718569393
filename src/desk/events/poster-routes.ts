import type { Request, Response, Server } from 'restify';
import { get } from '#src/http/routes.ts';
import { loadPageWords } from '#src/page/page-words.ts';
import { baseUrl } from '../base-url.ts';
import { type Desk, visit } from '../visit.ts';
import { byName } from './event-words.ts';
import { noEvent } from './no-event.ts';
import { posterPage } from './poster-page.ts';

/** The address of an event's chat, as the poster's code holds it; with one language alone it begins in that language. */
export const chatAddress = (base: string, eventId: string, chosen: readonly string[]): string =>
  `${base}/?${new URLSearchParams({ event: eventId, ...(chosen.length === 1 && { lang: chosen[0] }) })}`;

/** The poster of an event, to be printed in the languages that its address names. */
export function registerPoster(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { words } = deps;
  const pageWords = loadPageWords();

  get(server, '/desk/events/:id/poster', async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const event = await deps.store.events.byId(String(req.params.id));
    if (!event) return noEvent(desk, here);
    const asked = new URLSearchParams(req.getQuery()).getAll('lang');
    const wanted = asked.length > 0 ? asked : event.languages;
    const some = words.languages.filter((tag) => wanted.includes(tag));
    const chosen = some.length > 0 ? some : ['en'];
    const address = chatAddress(baseUrl(server, deps), event.id, chosen);
    const caution = (language: string) => pageWords.get(language)?.cautions ?? '';
    here.show(200, () =>
      posterPage({ voice, words, event, chosen, languages: byName(voice, words.languages), address, caution }),
    );
  });
}
