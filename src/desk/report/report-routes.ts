import { once } from 'node:events';
import type { Request, Response, Server } from 'restify';
import { anonymous } from '#shared/report/anonymous.ts';
import { type ReportedFamily, reportOf } from '#shared/report/report.ts';
import { send } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import type { AuditAction } from '#src/store/audit.ts';
import type { SignedIn } from '#src/store/sessions.ts';
import { seesEvent } from '../access.ts';
import { signedInForm } from '../form-route.ts';
import { paths } from '../paths.ts';
import { type Desk, type Visit, visit } from '../visit.ts';
import { anonymousCsv, BOM, csvLines, NAMED_HEAD, namedRows } from './export-files.ts';
import { reportPage } from './report-page.ts';
import { type ReportQuery, readReportQuery, reportFilter } from './report-query.ts';

const CSV = 'text/csv; charset=utf-8';
const JSON_TYPE = 'application/json; charset=utf-8';
const fileHeaders = (name: string) => ({
  'Content-Disposition': `attachment; filename="${name}"`,
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
});

/** Reports and exports: without names for everybody, with names for coordinators who say so. */
export function registerReports(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store } = deps;

  const note = ({ accountId }: SignedIn, action: AuditAction, { event }: ReportQuery) =>
    store.audit.note({ accountId, action, subject: event });

  async function familiesOf(person: SignedIn, query: ReportQuery): Promise<readonly ReportedFamily[]> {
    const families: ReportedFamily[] = [];
    for await (const page of store.reports.families(reportFilter(query, person))) families.push(...page);
    return families;
  }

  async function showReport(here: Visit, person: SignedIn, query: ReportQuery, unsaid = false): Promise<void> {
    const report = reportOf(await familiesOf(person, query));
    const events = (await store.events.list()).filter(({ id }) => seesEvent(person, id));
    await note(person, 'report-viewed', query);
    here.show(unsaid ? 422 : 200, (viewer) => reportPage(voice, viewer, { report, query, events, unsaid }));
  }

  const signedIn = (
    path: string,
    handler: (here: Visit, person: SignedIn, query: ReportQuery, res: Response) => Promise<void>,
  ) =>
    get(server, path, async (req: Request, res: Response) => {
      const here = await visit(desk, req, res);
      if (here.person) await handler(here, here.person, readReportQuery(new URLSearchParams(req.getQuery())), res);
    });

  signedIn(paths.reports, (here, person, query) => showReport(here, person, query));

  const withoutNames = async (person: SignedIn, query: ReportQuery) => {
    const families = await familiesOf(person, query);
    const rides = families.flatMap(({ family, language, rides: all }) =>
      all.map((ride) => ({ family, language, ride })),
    );
    await note(person, 'exported', query);
    return { report: reportOf(families), ...anonymous(rides) };
  };

  signedIn(paths.reportCsv, async (_here, person, query, res) => {
    send(res, 200, CSV, BOM + anonymousCsv(await withoutNames(person, query)), fileHeaders('lapwing-report.csv'));
  });

  signedIn(paths.reportJson, async (_here, person, query, res) => {
    const body = JSON.stringify({ about: query, ...(await withoutNames(person, query)) });
    send(res, 200, JSON_TYPE, body, fileHeaders('lapwing-report.json'));
  });

  /** Streams what has names, page by page. */
  async function sendNames(res: Response, person: SignedIn, query: ReportQuery, form: 'csv' | 'json'): Promise<void> {
    const json = form === 'json';
    const headers = fileHeaders(`lapwing-families.${form}`);
    res.writeHead(200, { ...headers, 'Content-Type': json ? JSON_TYPE : CSV });
    const write = async (text: string) => {
      if (!res.write(text)) await Promise.race([once(res, 'drain'), once(res, 'close')]);
    };
    await write(json ? '[' : BOM + csvLines([NAMED_HEAD]));
    let first = true;
    for await (const page of store.reports.summaries(reportFilter(query, person))) {
      if (res.destroyed) return;
      const rows = page.flatMap(namedRows);
      if (rows.length === 0) continue;
      const objects = rows.map((row) =>
        JSON.stringify(Object.fromEntries(NAMED_HEAD.map((name, i) => [name, row[i]]))),
      );
      await write(json ? (first ? '' : ',') + objects.join(',\n') : csvLines(rows));
      first = false;
    }
    res.end(json ? ']' : '');
  }

  signedInForm(server, desk, paths.reportNames, async (here, fields, _req, res) => {
    const query = readReportQuery(fields);
    if (fields.get('names') !== 'yes') return showReport(here, here.person, query, true);
    await note(here.person, 'exported-with-names', query);
    await sendNames(res, here.person, query, fields.get('form') === 'json' ? 'json' : 'csv');
  });
}
