import { randomUUID } from 'node:crypto';
import type { Reason } from '#shared/visit-record/entries.ts';
import { mayWork } from '../access.ts';
import { type Html, html, type Part } from '../html.ts';
import { tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import type { RecordView } from './load-record.ts';

/** What the parts of the record's page draw on. */
export interface RecordPage {
  readonly view: RecordView;
  readonly viewer: Viewer;
  /** Why a signed record is being corrected; null while it is not. */
  readonly why: Reason | null;
}

/** A signed record takes corrections only, and those only where their reason was given; who only looks records nothing. */
export const isOpen = ({ view, viewer: { person }, why }: RecordPage): boolean =>
  person !== null && mayWork(person) && (view.record.signed === null || why !== null);

type Hidden = Readonly<Record<string, string>>;

/** A form that adds one entry. Its id is made with it, so that sent twice it adds one. Nothing where the record is closed. */
export function entryForm(page: RecordPage, does: string, hidden: Hidden, body: Part): Html | false {
  if (!isOpen(page)) return false;
  const fields: Hidden = { does, id: randomUUID(), ...(page.why && { why: page.why }), ...hidden };
  return html`<form method="post" action="${paths.record(page.view.reference)}" class="entry">
    ${tokenField(page.viewer)}${Object.entries(fields).map(([name, value]) => html`<input type="hidden" name="${name}" value="${value}">`)}
    ${body}</form>`;
}

export interface Tap {
  readonly code: string;
  readonly words: string;
  /** Recorded by somebody at this stage. */
  readonly chosen: boolean;
  /** Holds without having been recorded here: what it rests on, in words. */
  readonly assumed?: string | false;
}

/** Buttons to tap one of; what was recorded is pressed. `labelledBy` names the group to those who do not see it. */
export const tapButtons = (labelledBy: string, taps: readonly Tap[]): Html =>
  html`<div class="taps" role="group" aria-labelledby="${labelledBy}">${taps.map(
    ({ code, words, chosen, assumed }) =>
      html`<button type="submit" name="value" value="${code}" class="tap-choice${assumed && ' assumed'}" aria-pressed="${chosen ? 'true' : 'false'}">${words}${
        assumed && html` <span class="why">(${assumed})</span>`
      }</button>`,
  )}</div>`;
