/** Markup that is ready to be sent; only `html` makes it. */
export class Html {
  readonly markup: string;
  constructor(markup: string) {
    this.markup = markup;
  }
  toString(): string {
    return this.markup;
  }
}

/** What a template takes: markup as it is, anything else as text; nothing for null, undefined and false. */
export type Part = Html | string | number | null | undefined | false | readonly Part[];

const NAMES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
};

/** Control characters, and the marks that turn the direction of text around; line ends and tabs are left out of it. */
const HIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g;

/** Text as it may stand in an element or a quoted attribute; hidden characters are shown as a box. */
const escapeText = (text: string): string =>
  text.replace(HIDDEN, '\u25a1').replace(/[&<>"'`]/g, (character) => NAMES[character] ?? '');

function render(part: Part): string {
  if (part instanceof Html) return part.markup;
  if (part === null || part === undefined || part === false) return '';
  if (typeof part === 'string') return escapeText(part);
  if (typeof part === 'number') return String(part);
  return part.map(render).join('');
}

/** A template of markup. Whatever is put in is escaped, unless it is markup itself. Attributes must be quoted. */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Html {
  return new Html(strings.map((text, i) => text + render(parts[i])).join(''));
}

/** Words somebody typed: their direction is kept from spreading. */
export const typed = (text: string, language?: string): Html =>
  language ? html`<bdi lang="${language}">${text}</bdi>` : html`<bdi>${text}</bdi>`;
