import { type Html, html } from '../html.ts';

export interface Bar {
  readonly words: string;
  readonly part: number;
  readonly whole: number;
}

const ROW = 50;
const WIDTH = 400;
const NUMBERS = 80;
const SHORT = 48;

const short = (words: string): string => (words.length > SHORT ? `${words.slice(0, SHORT - 1)}…` : words);

/** Bars of parts of a whole: the part solid, the whole outlined, words above and numbers beside them, so that no colour is needed. */
export function barsPart(id: string, title: string, description: string, bars: readonly Bar[]): Html {
  const most = Math.max(1, ...bars.map(({ whole }) => whole));
  const width = (count: number) => ((count / most) * (WIDTH - NUMBERS)).toFixed(1);
  return html`<svg class="bars" role="img" aria-labelledby="${id}-title ${id}-desc" viewBox="0 0 ${WIDTH} ${bars.length * ROW}">
    <title id="${id}-title">${title}</title><desc id="${id}-desc">${description}</desc>
    ${bars.map(
      ({ words, part, whole }, i) => html`<g>
      <text x="1" y="${i * ROW + 17}">${short(words)}</text>
      <rect class="whole" x="1" y="${i * ROW + 23}" width="${width(whole)}" height="18"/>
      <rect class="part" x="1" y="${i * ROW + 23}" width="${width(part)}" height="18"/>
      <text x="${Number(width(whole)) + 8}" y="${i * ROW + 37}">${part} / ${whole}</text></g>`,
    )}
  </svg>`;
}
