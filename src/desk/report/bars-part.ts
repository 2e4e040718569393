import { type Html, html } from '../html.ts';

export interface Bar {
  readonly words: string;
  readonly part: number;
  readonly whole: number;
}

const ROW = 30;
const WIDTH = 640;
const NAMES = 250;
const NUMBERS = 90;
const SHORT = 34;

const short = (words: string): string => (words.length > SHORT ? `${words.slice(0, SHORT - 1)}…` : words);

/** Bars of parts of a whole: the part solid, the whole outlined, the numbers beside them, so that no colour is needed. */
export function barsPart(id: string, title: string, description: string, bars: readonly Bar[]): Html {
  const most = Math.max(1, ...bars.map(({ whole }) => whole));
  const room = WIDTH - NAMES - NUMBERS;
  const width = (count: number) => ((count / most) * room).toFixed(1);
  return html`<svg class="bars" role="img" aria-labelledby="${id}-title ${id}-desc" viewBox="0 0 ${WIDTH} ${bars.length * ROW + 6}">
    <title id="${id}-title">${title}</title><desc id="${id}-desc">${description}</desc>
    ${bars.map(
      ({ words, part, whole }, i) => html`<g>
      <text x="${NAMES - 10}" y="${i * ROW + 21}" text-anchor="end">${short(words)}</text>
      <rect class="whole" x="${NAMES}" y="${i * ROW + 5}" width="${width(whole)}" height="22"/>
      <rect class="part" x="${NAMES}" y="${i * ROW + 5}" width="${width(part)}" height="22"/>
      <text x="${NAMES + 8 + Number(width(whole))}" y="${i * ROW + 21}">${part} / ${whole}</text></g>`,
    )}
  </svg>`;
}
