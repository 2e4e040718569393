import { type Html, html } from './html.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

/**
 * Where changes are said politely, and a link that loads the page again; the script fills it. `reference`: one case's page;
 * `eventId`: an event's board.
 */
export const livePart = (voice: Voice, reference?: string, eventId?: string): Html =>
  html`<div id="live" data-stream="${paths.live}" data-reference="${reference ?? ''}" data-event="${eventId ?? ''}" data-changed="${voice.say('live.changed')}" data-gone="${voice.say('live.gone')}" data-case="${voice.say('live.case')}" data-broken="${voice.say('live.broken')}" data-ended="${voice.say('live.ended')}">
    <p id="news" class="news notice" role="status"></p>
    <button type="button" id="again" class="quiet" hidden>${voice.say('live.again')}</button>
  </div>`;
