import { randomUUID } from 'node:crypto';
import type { Request, Response, Server } from 'restify';
import { REASONS, type Reason, type VisitBody, type VisitEntry } from '#shared/visit-record/entries.ts';
import { foldVisit, latestOf } from '#shared/visit-record/fold.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { queryValue, sendJson } from '#src/http/respond.ts';
import { get, post } from '#src/http/routes.ts';
import type { Effect } from '#src/store/store.ts';
import type { Added } from '#src/store/visits.ts';
import { createRemind } from '#src/turns/reminding.ts';
import { readForm } from '../forms.ts';
import { html } from '../html.ts';
import { paths } from '../paths.ts';
import { formTokenIsRight, tokenHash } from '../secrets.ts';
import { type Desk, sendToSignIn, type Visit, visit } from '../visit.ts';
import { loadRecord, type RecordView } from './load-record.ts';
import { noRecord } from './no-record.ts';
import { type ChangeProblem, readChange } from './read-change.ts';
import { recordPage } from './record-page.ts';

const ENTRY_ID = /^[0-9a-f-]{36}$/;
const LONGEST_WAY_MS = 30 * 24 * 60 * 60 * 1000;

const isReason = (text: string | null): text is Exclude<Reason, 'late'> =>
  text !== 'late' && (REASONS as readonly (string | null)[]).includes(text);

/** What became of an entry that the page's script sent. */
type State = 'saved' | 'signed' | 'form' | 'gone' | 'refused' | 'too-large';
const STATUS: Readonly<Record<State, number>> = {
  saved: 200,
  signed: 409,
  form: 403,
  gone: 410,
  refused: 422,
  'too-large': 413,
};
const STATE: Readonly<Record<Added, State>> = { added: 'saved', known: 'saved', signed: 'signed', gone: 'gone' };

/** The record of a visit: its page, and the entries that are added to it, one by one, by forms or by the page's script. */
export function registerRecord(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, clock } = deps;
  const remind = createRemind(deps.words);
  const path = '/desk/cases/:reference/visit';

  const { message, gone, unreadable } = noRecord(desk);

  get(server, path, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return sendToSignIn(here, req);
    const reference = String(req.params.reference);
    const loaded = await loadRecord(deps, reference, voice.language);
    if (loaded.state === 'gone') return gone(here, reference);
    await store.audit.note({ accountId: here.person.accountId, action: 'visit-viewed', subject: reference });
    if (loaded.state === 'unreadable') return unreadable(here, reference);
    const { view } = loaded;
    const asked = queryValue(req, 'why');
    const why = view.record.signed && isReason(asked) ? asked : null;
    const problem = queryValue(req, 'problem');
    here.show(200, (viewer) =>
      recordPage(
        { view, viewer, why },
        problem !== null && html`<p class="notice bad" role="alert">${view.voice.name('recordProblem', problem)}</p>`,
      ),
    );
  });

  /** When an entry was written: so long before it came as its sender says, whatever clock that has. */
  function writtenAt(fields: URLSearchParams): string {
    const ago = Number(fields.get('ago') ?? 0);
    const ms = Number.isFinite(ago) ? Math.min(Math.max(ago, 0), LONGEST_WAY_MS) : 0;
    return new Date(clock().getTime() - ms).toISOString();
  }

  /** What the family is reminded of once the entry is in: after the sign-off, and anew with every correction. */
  function remindersAfter(view: RecordView, entry: Omit<VisitEntry, 'seq'>): readonly Effect[] | undefined {
    if (entry.body.kind !== 'sign-off' && entry.body.kind !== 'correction') return undefined;
    const seq = (view.entries.at(-1)?.seq ?? 0) + 1;
    const record = foldVisit([...view.entries, { ...entry, seq }]);
    const [answer] = latestOf(record.current, 'reminders');
    if (answer?.change.wanted === false) return [];
    const { left } = reviewVisit(
      record.signed?.reported ?? view.told,
      record.current,
      (record.begun ?? entry.at).slice(0, 10),
    );
    const { conversationId, reference, summary } = view;
    const asked = answer?.change.wanted === true;
    return remind({ conversationId, reference, language: summary.language, judged: left, asked });
  }

  async function add(view: RecordView, fields: URLSearchParams, by: NonNullable<Visit['person']>) {
    const id = ENTRY_ID.test(fields.get('id') ?? '') ? String(fields.get('id')) : randomUUID();
    const entry = { id, at: writtenAt(fields), accountId: by.accountId, by: by.name };
    const put = async (body: VisitBody): Promise<{ state: State; problem?: ChangeProblem }> => {
      const added = await store.visits.add(
        view.reference,
        { ...entry, body },
        remindersAfter(view, { ...entry, body }),
      );
      if (added === 'added')
        await store.audit.note({
          accountId: by.accountId,
          action: body.kind === 'sign-off' ? 'visit-signed' : 'visit-recorded',
          subject: view.reference,
        });
      if (added === 'added' && body.kind === 'sign-off') await store.board.signed(view);
      return { state: STATE[added] };
    };
    if (fields.get('does') === 'sign-off') return put({ kind: 'sign-off', reported: view.told });
    const read = readChange(fields, view.review, id);
    if (!read.ok) return { state: 'refused' as const, problem: read.problem };
    const why = fields.get('why');
    return put(view.record.signed && isReason(why) ? { kind: 'correction', why, change: read.change } : read.change);
  }

  post(server, path, async (req: Request, res: Response) => {
    const form = await readForm(req);
    const here = await visit(desk, req, res);
    const reference = String(req.params.reference);
    const byScript = (req.headers.accept ?? '').includes('application/json');
    const answer = (state: State, problem?: ChangeProblem) =>
      sendJson(
        res,
        STATUS[state],
        { state, ...(problem && { why: voice.name('recordProblem', problem) }) },
        { 'Cache-Control': 'no-store' },
      );
    if (!form.ok) {
      if (byScript) return answer('too-large');
      return message(here, 413, voice.say('problem.tooLargeTitle'), voice.say('problem.tooLarge'));
    }
    const { fields } = form;
    // `route-guard.ts` keeps the form of whoever was signed out meanwhile.
    if (!here.person) return sendToSignIn(here, req);
    if (!formTokenIsRight(here.secret, fields.get('token'))) {
      if (byScript) return answer('form');
      return message(here, 403, voice.say('problem.formTitle'), voice.say('problem.form'));
    }
    if (fields.has('kept')) await store.keptForms.drop(tokenHash(fields.get('kept') ?? ''));
    const loaded = await loadRecord(deps, reference, voice.language);
    if (loaded.state === 'unreadable') return byScript ? answer('refused') : unreadable(here, reference);
    if (loaded.state === 'gone') return byScript ? answer('gone') : gone(here, reference);
    const { state, problem } = await add(loaded.view, fields, here.person);
    if (byScript) return answer(state, problem);
    if (state === 'gone') return gone(here, reference);
    const query = new URLSearchParams({
      ...(isReason(fields.get('why')) && { why: String(fields.get('why')) }),
      ...(problem && { problem }),
      ...(state === 'signed' && { problem: 'signed' }),
    }).toString();
    here.goTo(`${paths.record(reference)}${query && `?${query}`}`);
  });
}
