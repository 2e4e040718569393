import type { Request, Response, Server } from 'restify';
import { get } from '#src/http/routes.ts';
import { paths } from './paths.ts';
import { usagePage } from './usage-page.ts';
import { auditFilter, readUsageQuery } from './usage-query.ts';
import { type Desk, visit } from './visit.ts';

const PAGE_SIZE = 50;

/** The record of use, for coordinators; that they looked stands in it too. */
export function registerUsage(server: Server, desk: Desk): void {
  const { voice, deps } = desk;
  const { audit, people } = deps.store;
  get(server, paths.usage, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const query = readUsageQuery(req.getQuery());
    const page = await audit.list({ pageSize: PAGE_SIZE, filter: auditFilter(query), after: query.after });
    const everybody = await people.list();
    if (here.person) await audit.note({ accountId: here.person.accountId, action: 'record-viewed', subject: null });
    here.show(200, () => usagePage(voice, { page, query, people: everybody }));
  });
}
