import type { ThreadEntry } from '#src/store/store.ts';
import { mayWork } from './access.ts';
import { assetPath } from './assets.ts';
import { type Html, html } from './html.ts';
import { tokenField, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import { MAX_LINE_LENGTH, threadLine } from './thread-page.ts';
import type { Voice } from './voice.ts';

const LAST_LINES = 4;

export interface ThreadGlance {
  readonly reference: string;
  /** BCP 47 language of the caregiver. */
  readonly language: string;
  readonly lines: readonly ThreadEntry[];
  /** Id of the line that the form sends, so that a form sent twice writes once. */
  readonly newId: string;
}

/** The latest lines of the conversation on the case's own page, and a box to write the next one. */
export function threadPart(voice: Voice, viewer: Viewer, view: ThreadGlance): Html {
  const said = view.lines.filter(({ text }) => text !== '');
  const { reference } = view;
  return html`<link rel="stylesheet" href="${assetPath('thread.css')}">
    <section aria-labelledby="thread"><h2 id="thread">${voice.say('thread.open')}</h2>
    <ol class="thread">${said.slice(-LAST_LINES).map((line) => threadLine(voice, view, line))}</ol>
    <p><a class="tap" href="${paths.thread(reference)}">${voice.say('thread.all', { count: said.length })}</a></p>
    ${
      viewer.person &&
      mayWork(viewer.person) &&
      html`<form method="post" action="${paths.thread(reference)}" class="fields" id="write">${tokenField(viewer)}
      <input type="hidden" name="does" value="write"><input type="hidden" name="from" value="case">
      <input type="hidden" name="line" value="${view.newId}">
      <label for="text">${voice.say('thread.write')}</label>
      <p class="hint" id="text-hint">${voice.say('thread.writeHint', { language: voice.measures.languageName(view.language) })}</p>
      <textarea id="text" name="text" rows="2" dir="auto" maxlength="${MAX_LINE_LENGTH}" aria-describedby="text-hint" required></textarea>
      <button type="submit">${voice.say('thread.send')}</button></form>`
    }</section>`;
}
