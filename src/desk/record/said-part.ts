import type { Said } from '#shared/visit-record/fold.ts';
import { type Html, html, typed } from '../html.ts';
import type { RecordView } from './load-record.ts';

/** What one entry says, in words; null where it takes back what was said before. */
type InWords = (said: Said) => string | null;

const when = ({ voice, event }: RecordView, at: string): string => voice.measures.instant(at, event?.timeZone ?? 'UTC');

const line = (view: RecordView, said: Said, words: InWords): Html =>
  html`<b>${typed(words(said) ?? view.voice.say('record.takenBack'))}</b> <span class="quietly">${typed(said.by)}, ${when(view, said.at)}${
    said.change.kind === 'fact' && html`, ${view.voice.name('how', said.change.how)}`
  }${said.why && html` · ${view.voice.say('record.correctedFor', { why: view.voice.name('why', said.why) })}`}</span>`;

/** What holds of a matter with who recorded it and when; where others recorded something else before, that too. */
export function saidPart(view: RecordView, all: readonly Said[], words: InWords): Html | false {
  const last = all.at(-1);
  if (!last) return false;
  const before = all.slice(0, -1).toReversed();
  const conflict = before.some((one) => one.by !== last.by && words(one) !== words(last));
  return html`<p class="said-now">${line(view, last, words)}</p>
    ${
      before.length > 0 &&
      html`<details class="earlier"${conflict && html` open`}><summary>${view.voice.say(
        conflict ? 'record.differs' : 'record.earlier',
      )}</summary><ul>${before.map((one) => html`<li>${line(view, one, words)}</li>`)}</ul></details>`
    }`;
}

export const instantOf = when;
