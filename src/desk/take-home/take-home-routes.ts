import type { Request, Response, Server } from 'restify';
import { acceptedLanguages } from '#src/http/accept-language.ts';
import { queryValue } from '#src/http/respond.ts';
import { get, post } from '#src/http/routes.ts';
import { bestLanguage } from '#src/page/best-language.ts';
import { textDirection } from '#src/page/direction.ts';
import type { StoredConversation } from '#src/store/store.ts';
import { tellCaregiver } from '#src/turns/caregiver-message.ts';
import { mayWork } from '../access.ts';
import { assetPath } from '../assets.ts';
import { baseUrl } from '../base-url.ts';
import { readForm } from '../forms.ts';
import { type Html, html } from '../html.ts';
import { type PageParts, tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import { loadRecord, type RecordView } from '../record/load-record.ts';
import { noRecord } from '../record/no-record.ts';
import { formTokenIsRight, newToken } from '../secrets.ts';
import { sendPage } from '../send-page.ts';
import { messagePage } from '../sign-in-pages.ts';
import { lineId } from '../thread-page.ts';
import { type Desk, sendToSignIn, visit } from '../visit.ts';
import { takeHomeLinks, takeHomePath } from './link.ts';
import { takeHomeSheets } from './sheet.ts';

const TOKEN = /^[\w-]{43}$/;

/** The sheet that goes home: at the desk to be printed and sent, and behind a private link for the family. */
export function registerTakeHome(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, words, clock } = deps;
  const path = '/desk/cases/:reference/take-home';
  const links = takeHomeLinks(deps.secret ?? newToken());
  const base = () => baseUrl(server, deps);

  const sheetsOf = (view: RecordView, language: string): readonly Html[] =>
    takeHomeSheets({
      words,
      language: bestLanguage(words.languages, [language]),
      reference: view.reference,
      day: (view.record.signed?.at ?? view.record.begun ?? clock().toISOString()).slice(0, 10),
      review: view.review,
      chat: view.summary.channel === 'direct-line' ? `${base()}/?lang=${encodeURIComponent(language)}` : null,
    });

  function deskPage(viewer: Viewer, view: RecordView, language: string, sent: boolean): PageParts {
    const { reference, record, summary } = view;
    const sheets = sheetsOf(view, language);
    const other = language === voice.language ? summary.language : voice.language;
    const maySend = record.signed !== null && viewer.person !== null && mayWork(viewer.person);
    return {
      title: voice.say('takeHome.title', { reference }),
      layout: 'print',
      main: html`<link rel="stylesheet" href="${assetPath('take-home.css')}">
      <div class="screen-only">
        <h1>${voice.say('takeHome.title', { reference })}</h1>
        <p>${voice.say('takeHome.hint', { language: voice.measures.languageName(summary.language) })}</p>
        ${sent && html`<p role="status"><b>${voice.say('takeHome.sent')}</b></p>`}
        ${
          maySend &&
          html`<form method="post" action="${paths.takeHome(reference)}" class="fields">${tokenField(viewer)}
            <p id="send-hint">${voice.say('takeHome.sendHint')}</p>
            <button type="submit" aria-describedby="send-hint">${voice.say('takeHome.send')}</button></form>`
        }
        <p>${record.signed && html`<button type="button" id="print" data-wait hidden>${voice.say('page.print')}</button>`}
        <a href="${paths.record(reference)}">${voice.say('takeHome.record')}</a>
        ${other !== language && html` <a href="${paths.takeHome(reference)}?lang=${encodeURIComponent(other)}">${voice.say('takeHome.other', { language: voice.measures.languageName(other) })}</a>`}</p>
      </div>
      ${!record.signed && html`<p class="unsigned"><b>${voice.say('takeHome.unsigned')}</b></p>`}
      ${sheets.length > 0 ? sheets : html`<p>${voice.say('takeHome.none')}</p>`}
`,
    };
  }

  const { gone, unreadable } = noRecord(desk);

  get(server, path, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return sendToSignIn(here, req);
    const reference = String(req.params.reference);
    const loaded = await loadRecord(deps, reference, voice.language);
    if (loaded.state === 'gone') return gone(here, reference);
    await store.audit.note({ accountId: here.person.accountId, action: 'take-home-viewed', subject: reference });
    if (loaded.state === 'unreadable') return unreadable(here, reference);
    const { view } = loaded;
    const asked = queryValue(req, 'lang');
    const language = asked !== null && words.languages.includes(asked) ? asked : view.summary.language;
    here.show(200, (viewer) => deskPage(viewer, view, language, queryValue(req, 'sent') === 'yes'));
  });

  /** Puts the link into the thread, once for each state of the record; the bot keeps the conversation. */
  async function send(view: RecordView, stored: StoredConversation): Promise<void> {
    const { conversationId, reference, record } = view;
    const token = links.tokenOf(reference);
    await store.visits.openLink(links.hashOf(token), { reference, conversationId });
    const key = `take-home-${reference}-${record.corrections.length}`;
    const id = lineId('ready', key);
    const text = words.say(stored.language, 'take-home')('sent.link', { link: `${base()}${takeHomePath(token)}` });
    const effects =
      stored.channelAddress === null
        ? []
        : [{ ...tellCaregiver({ conversationId, text, lineId: id }, key), reference }];
    await store.conversations.note(conversationId, [{ id, from: 'technician', text }], clock().toISOString(), effects);
  }

  post(server, path, async (req: Request, res: Response) => {
    const form = await readForm(req);
    const here = await visit(desk, req, res);
    const reference = String(req.params.reference);
    if (!here.person) return sendToSignIn(here, req);
    if (!form.ok || !formTokenIsRight(here.secret, form.fields.get('token')))
      return here.show(403, () => messagePage(voice.say('problem.formTitle'), voice.say('problem.form')));
    const loaded = await loadRecord(deps, reference, voice.language);
    if (loaded.state === 'unreadable') return unreadable(here, reference);
    const stored = loaded.state === 'found' ? await store.conversations.load(loaded.view.conversationId) : null;
    if (loaded.state === 'gone' || !stored || stored.state === 'deleted') return gone(here, reference);
    if (!loaded.view.record.signed) return here.goTo(paths.takeHome(reference));
    await send(loaded.view, stored);
    await store.audit.note({ accountId: here.person.accountId, action: 'take-home-sent', subject: reference });
    here.goTo(`${paths.takeHome(reference)}?sent=yes`);
  });

  /** For whoever has the link: the sheets alone, with nothing of the desk. */
  get(server, '/take-home/:token', async (req: Request, res: Response) => {
    const token = String(req.params.token);
    const reference = TOKEN.test(token) ? await store.visits.linkedTo(links.hashOf(token)) : null;
    const loaded = reference === null ? null : await loadRecord(deps, reference, voice.language);
    const found = loaded?.state === 'found' && loaded.view.record.signed ? loaded.view : null;
    const wanted = found ? [found.summary.language] : acceptedLanguages(req.headers['accept-language']);
    const language = bestLanguage(words.languages, wanted);
    const say = words.say(language, 'take-home');
    const body = found ? sheetsOf(found, language) : null;
    const page = html`<!doctype html>
<html lang="${language}" dir="${textDirection(language)}">
<head>
  <meta charset="utf-8">
  <meta name="viewport" content="width=device-width, initial-scale=1">
  <meta name="robots" content="noindex">
  <meta name="color-scheme" content="light">
  <title>${say('reminder.subject')}</title>
  <link rel="stylesheet" href="${assetPath('print.css')}">
  <link rel="stylesheet" href="${assetPath('drawings.css')}">
  <link rel="stylesheet" href="${assetPath('take-home.css')}">
</head>
<body class="print"><main><h1>${say(body ? 'reminder.subject' : 'sent.gone')}</h1>${body}</main></body>
</html>`;
    sendPage(res, found ? 200 : 404, page);
  });
}
