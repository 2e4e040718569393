import type { Request, Response, Server } from 'restify';
import { type StockForecast, stockForecast } from '#shared/stock/stock.ts';
import { send } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import type { CheckEvent } from '#src/store/events.ts';
import { paths } from '../paths.ts';
import { BOM } from '../report/export-files.ts';
import { messagePage } from '../sign-in-pages.ts';
import { type Desk, type Visit, visit } from '../visit.ts';
import { eventNeeds } from './event-needs.ts';
import { stockCsv } from './stock-csv.ts';
import { stockPage } from './stock-page.ts';

/** What an event is likely to need, as a page and as a file; for coordinators. */
export function registerStock(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { events, reports, audit } = deps.store;
  const needs = eventNeeds(reports);

  const withForecast = (
    path: string,
    action: 'report-viewed' | 'exported',
    answer: (here: Visit, event: CheckEvent, forecast: StockForecast, res: Response) => void,
  ) =>
    get(server, path, async (req: Request, res: Response) => {
      const here = await visit(desk, req, res);
      const event = await events.byId(String(req.params.id));
      if (!here.person || !event) {
        const back = { href: paths.events, text: voice.say('event.back') };
        return here.show(404, () => messagePage(voice.say('event.missing'), voice.say('event.missingWhy'), back));
      }
      await audit.note({ accountId: here.person.accountId, action, subject: event.id });
      // Where nobody said what is spoken there, the desk's own language is.
      const spoken = event.languages.length > 0 ? event.languages : [voice.language];
      answer(here, event, stockForecast(await needs.of(event.id, event.heldOn), spoken), res);
    });

  withForecast('/desk/events/:id/stock', 'report-viewed', (here, event, forecast) =>
    here.show(200, (viewer) => stockPage(voice, viewer, event, forecast)),
  );

  withForecast('/desk/events/:id/stock.csv', 'exported', (_here, _event, forecast, res) =>
    send(res, 200, 'text/csv; charset=utf-8', BOM + stockCsv(forecast), {
      'Content-Disposition': 'attachment; filename="lapwing-stock.csv"',
      'Cache-Control': 'no-store',
      'X-Content-Type-Options': 'nosniff',
    }),
  );
}
