import { isPhotoId } from '#src/page/photo-ids.ts';
import type { ConversationState, ThreadEntry } from '#src/store/store.ts';
import { mayWork } from './access.ts';
import { assetPath } from './assets.ts';
import { type Html, html, typed } from './html.ts';
import { livePart } from './live-part.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

/** As long as what a caregiver may write at once. */
export const MAX_LINE_LENGTH = 2000;

export type ThreadProblem = 'empty' | 'tooLong';

export interface ThreadView {
  readonly reference: string;
  /** BCP 47 language of the caregiver. */
  readonly language: string;
  readonly state: ConversationState;
  /** What is written reaches the caregiver only with the answer to its next message. */
  readonly waits: boolean;
  readonly lines: readonly ThreadEntry[];
  readonly phrases: readonly { readonly id: string; readonly text: string }[];
  /** Ids of the lines that the two forms send, so that a form sent twice writes once. */
  readonly newIds: readonly [string, string];
  /** What was written, where it could not be sent. */
  readonly draft?: string;
  readonly problem?: ThreadProblem;
}

/** One line of the thread; nothing for a line without text. */
export function threadLine(
  voice: Voice,
  view: Pick<ThreadView, 'language' | 'reference'>,
  { id, from, text, reply, at }: ThreadEntry,
): Html | false {
  // The bot keeps silent while a person has the conversation.
  if (text === '') return false;
  // What a technician typed is in a language that the system does not know; a ready-made phrase says its own.
  const ready = from === 'technician' && isReady(id);
  const language = from === 'technician' ? (ready ? view.language : undefined) : (reply?.language ?? view.language);
  return html`<li class="thread-line ${from}" data-id="${id}">
    <p class="quietly"><strong>${voice.say(`thread.${from}`)}</strong> · ${voice.measures.instant(at, 'UTC')}${
      from === 'technician' && html` · ${voice.say(ready ? 'thread.ready' : 'thread.free')}`
    }</p>
    ${
      isPhotoId(id)
        ? html`<p><a href="${paths.case(view.reference)}#photos">${voice.say('photo.inThread')}</a></p>`
        : text.split('\n\n').map((part) => html`<p>${typed(part, language)}</p>`)
    }
  </li>`;
}

/** The id of a technician's line; a ready-made phrase is known by it. */
export const lineId = (kind: 'ready' | 'free', id: string): string => `t:${kind}:${id}`;
const isReady = (id: string): boolean => id.startsWith('t:ready:');

function forms(voice: Voice, viewer: Viewer, view: ThreadView): Html {
  const action = paths.thread(view.reference);
  const form = (id: string, does: string, body: Html) =>
    html`<form method="post" action="${action}" class="fields" id="${id}">
      ${tokenField(viewer)}<input type="hidden" name="does" value="${does}">${body}</form>`;
  const lineField = (id: string) => html`<input type="hidden" name="line" value="${id}">`;
  return html`${form(
    'write',
    'write',
    html`${lineField(view.newIds[0])}
      ${view.problem && html`<p class="notice bad" role="alert">${voice.say(`thread.${view.problem}`)}</p>`}
      <label for="text">${voice.say('thread.write')}</label>
      <p class="hint" id="text-hint">${voice.say('thread.writeHint', { language: voice.measures.languageName(view.language) })}</p>
      <textarea id="text" name="text" rows="3" dir="auto" maxlength="${MAX_LINE_LENGTH}" aria-describedby="text-hint" required>${view.draft ?? ''}</textarea>
      <button type="submit">${voice.say('thread.send')}</button>`,
  )}
  ${form(
    'ready',
    'ready',
    html`${lineField(view.newIds[1])}
      <label for="phrase">${voice.say('thread.phrases')}</label>
      <p class="hint" id="phrase-hint">${voice.say('thread.phrasesHint', { language: voice.measures.languageName(view.language) })}</p>
      <select id="phrase" name="phrase" aria-describedby="phrase-hint">${view.phrases.map(
        ({ id, text }) => html`<option value="${id}">${text}</option>`,
      )}</select>
      <button type="submit">${voice.say('thread.sendReady')}</button>`,
  )}
  ${
    view.state === 'person' &&
    form('back', 'hand-back', html`<button type="submit" class="quiet">${voice.say('thread.handBack')}</button>`)
  }`;
}

/** The conversation with a caregiver, and the forms to write into it and to hand it back to the bot. */
export function threadPage(voice: Voice, viewer: Viewer, view: ThreadView): PageParts {
  const { reference, state, lines } = view;
  return {
    title: voice.say('thread.title', { reference }),
    main: html`<link rel="stylesheet" href="${assetPath('thread.css')}">
    <p><a class="tap" href="${paths.case(reference)}">${voice.say('page.backToCase')}</a></p>
    <h1>${voice.say('thread.title', { reference })}</h1>
    <div id="thread" data-reference="${reference}">
      <p class="notice" id="held">${voice.say(state === 'person' ? 'thread.held' : 'thread.withBot')}</p>
      ${view.waits && html`<p class="notice">${voice.say('thread.later')}</p>`}
      <ol class="thread">${lines.map((each) => threadLine(voice, view, each))}</ol>
    </div>
    ${livePart(voice)}
    ${viewer.person && mayWork(viewer.person) ? forms(voice, viewer, view) : html`<p>${voice.say('thread.lookOnly')}</p>`}
    <script src="${assetPath('thread.js')}" defer></script>`,
  };
}
