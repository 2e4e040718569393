import { randomUUID } from 'node:crypto';
import type { Request, Response, Server } from 'restify';
import { cleanText } from '#src/channels/clean-text.ts';
import { get } from '#src/http/routes.ts';
import { createPersonTurns } from '#src/turns/person-turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { signedInForm } from './form-route.ts';
import { paths } from './paths.ts';
import { messagePage } from './sign-in-pages.ts';
import { lineId, MAX_LINE_LENGTH, type ThreadProblem, threadPage } from './thread-page.ts';
import { PHRASES, phraseIn } from './thread-phrases.ts';
import { type Desk, sendToSignIn, type Visit, visit } from './visit.ts';

const LINE_ID = /^[0-9a-f-]{36}$/;

/** The thread of a case: read, written into, and handed back, by people who are signed in. */
export function registerThread(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, words, clock } = deps;
  const turns = createPersonTurns({ store, voice: createVoice(words), clock, newId: randomUUID });
  const path = '/desk/cases/:reference/thread';

  const gone = (here: Visit, reference: string) =>
    here.show(410, () =>
      messagePage(voice.say('thread.goneTitle'), voice.say('thread.gone', { reference }), {
        href: paths.list,
        text: voice.say('page.back'),
      }),
    );

  async function conversationOf(reference: string) {
    const found = await store.cases.byReference(reference);
    const stored = found.state === 'found' ? await store.conversations.load(found.conversationId) : null;
    return stored?.state === 'deleted' ? null : stored;
  }

  async function showThread(
    here: Visit,
    reference: string,
    left: { readonly draft?: string; readonly problem?: ThreadProblem } = {},
  ): Promise<void> {
    const stored = await conversationOf(reference);
    if (!stored) return gone(here, reference);
    const lines = await store.conversations.thread(stored.id, 0);
    const phrases = PHRASES.map((id) => ({ id, text: phraseIn(words, voice.language, id) ?? id }));
    here.show(left.problem ? 422 : 200, (viewer) =>
      threadPage(voice, viewer, {
        reference,
        language: stored.language,
        state: stored.state,
        waits: stored.channel !== 'direct-line' && stored.channelAddress === null,
        lines,
        phrases,
        newIds: [randomUUID(), randomUUID()],
        ...left,
      }),
    );
  }

  get(server, path, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return sendToSignIn(here, req);
    const reference = String(req.params.reference);
    await store.audit.note({ accountId: here.person.accountId, action: 'thread-viewed', subject: reference });
    await showThread(here, reference);
  });

  signedInForm(server, desk, path, async (here, fields, req) => {
    const reference = String(req.params.reference);
    const field = (name: string): string => fields.get(name) ?? '';
    const { accountId } = here.person;
    const stored = await conversationOf(reference);
    if (!stored) return gone(here, reference);

    if (field('does') === 'hand-back') {
      const back = await turns.handBack(stored.id);
      if (back === 'gone') return gone(here, reference);
      if (back === 'handed-back') await store.audit.note({ accountId, action: 'handed-back', subject: reference });
      // Before consent the case leaves the desk with the person.
      return here.goTo((await conversationOf(reference)) ? paths.thread(reference) : paths.list);
    }
    const ready = field('does') === 'ready';
    const text = ready
      ? (phraseIn(words, stored.language, field('phrase')) ?? '')
      : cleanText(field('text').replaceAll('\r\n', '\n')).trim();
    if (text === '') return showThread(here, reference, { problem: 'empty' });
    if (text.length > MAX_LINE_LENGTH) return showThread(here, reference, { problem: 'tooLong', draft: text });
    const own = LINE_ID.test(field('line')) ? field('line') : randomUUID();
    const written = await turns.write(stored.id, { id: lineId(ready ? 'ready' : 'free', own), text });
    if (written === 'gone') return gone(here, reference);
    await store.audit.note({ accountId, action: 'message-sent', subject: reference });
    here.goTo(field('from') === 'case' ? `${paths.case(reference)}#thread` : paths.thread(reference));
  });
}
