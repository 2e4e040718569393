import type { Workload } from '#shared/events/workload.ts';
import { type Html, html } from '../html.ts';
import type { Voice } from '../voice.ts';

const ROW = 44;
const WIDTH = 400;
const NUMBERS = 96;
const LABELS = 72;

/** How long the bars are: needed within what there is, all that there is, and what is too much. */
function bar(
  voice: Voice,
  { start, technicianMinutes: has, neededMinutes: needs }: Workload['hours'][number],
  timeZone: string,
  y: number,
  scale: number,
): Html {
  const x = (minutes: number) => (minutes * scale).toFixed(1);
  const over = Math.max(0, needs - has);
  return html`<g>
    <text x="0" y="${y + 24}">${voice.measures.time(start, timeZone)}</text>
    <rect class="part" x="${LABELS}" y="${y + 8}" width="${x(Math.min(needs, has))}" height="22"/>
    <rect class="whole" x="${LABELS}" y="${y + 8}" width="${x(has)}" height="22"/>
    ${over > 0 && html`<rect class="over" x="${(LABELS + has * scale).toFixed(1)}" y="${y + 8}" width="${x(over)}" height="22"/>`}
    <text x="${(LABELS + Math.max(has, needs) * scale + 8).toFixed(1)}" y="${y + 24}">${needs} / ${has}</text>
  </g>`;
}

/** What families need and what technicians have, hour by hour: bars that no colour is needed for, and the same numbers as a table. */
export function workloadPart(
  voice: Voice,
  { hours, outsideMinutes }: Workload,
  untimed: number,
  timeZone: string,
): Html {
  const most = Math.max(
    1,
    ...hours.flatMap(({ technicianMinutes, neededMinutes }) => [technicianMinutes, neededMinutes]),
  );
  const scale = (WIDTH - LABELS - NUMBERS) / most;
  const words = { title: voice.say('workload.title'), how: voice.say('workload.how') };
  const row = (name: string, needed: number, has: number | '') =>
    html`<tr><th scope="row">${name}</th><td class="number">${needed}</td><td class="number">${has}</td><td class="number">${
      has !== '' && needed > has ? needed - has : ''
    }</td></tr>`;
  const sum = (of: (hour: Workload['hours'][number]) => number) => hours.reduce((total, hour) => total + of(hour), 0);
  const heads = ['hour', 'needed', 'technicians', 'tooMuch'] as const;
  return html`<section aria-labelledby="workload" class="workload"><h2 id="workload">${words.title}</h2>
    <p class="quietly">${words.how}</p>
    <svg class="bars" role="img" aria-labelledby="workload-title workload-desc" viewBox="0 0 ${WIDTH} ${hours.length * ROW}">
      <title id="workload-title">${words.title}</title><desc id="workload-desc">${words.how}</desc>
      <defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="stripe" width="3" height="6"/></pattern></defs>
      ${hours.map((hour, i) => bar(voice, hour, timeZone, i * ROW, scale))}
    </svg>
    <div class="wide"><table><thead><tr>${heads.map((head) => html`<th scope="col"${head !== 'hour' && html` class="number"`}>${voice.say(`workload.${head}`)}</th>`)}</tr></thead>
      <tbody>${hours.map(({ start, neededMinutes, technicianMinutes }) => row(voice.measures.time(start, timeZone), neededMinutes, technicianMinutes))}
      ${outsideMinutes > 0 && row(voice.say('workload.outside'), outsideMinutes, '')}
      ${untimed > 0 && row(voice.say('workload.untimed'), untimed, '')}
      ${row(
        voice.say('workload.all'),
        sum((hour) => hour.neededMinutes) + outsideMinutes + untimed,
        sum((hour) => hour.technicianMinutes),
      )}</tbody></table></div>
  </section>`;
}
