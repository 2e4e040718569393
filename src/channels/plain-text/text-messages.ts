/** Characters of the GSM 7-bit default alphabet (3GPP TS 23.038, 6.2.1). */
const GSM = new Set(
  '@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !"#¤%&\'()*+,-./0123456789:;<=>?¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà',
);

/** Those of its extension table, which count twice. */
const GSM_TWICE = new Set('^{}\\[~]|€');

/** Printers' marks that have a plain form in that alphabet. */
const PLAIN: Readonly<Record<string, string>> = {
  '’': "'",
  '‘': "'",
  '“': '"',
  '”': '"',
  '–': '-',
  '—': '-',
  '…': '...',
  '\u00a0': ' ',
  '\u202f': ' ',
};

const GSM_MOST = 160;
/** Two joined parts of 67 UTF-16 units: one part alone holds hardly a sentence in most scripts. */
const UTF16_MOST = 134;

export const plainMarks = (text: string): string =>
  text.replace(/[’‘“”–—…\u00a0\u202f]/g, (mark) => PLAIN[mark] ?? mark);

/** What a text takes of one message: 1 is full. */
export function fill(text: string): number {
  let septets = 0;
  for (const character of text) {
    if (GSM.has(character)) septets += 1;
    else if (GSM_TWICE.has(character)) septets += 2;
    else return text.length / UTF16_MOST;
  }
  return septets / GSM_MOST;
}

/** The longest beginning that fits, ended at a sentence, else at a space, else anywhere between two characters. */
function cut(text: string): number {
  const graphemes = [...new Intl.Segmenter(undefined, { granularity: 'grapheme' }).segment(text)];
  let end = 0;
  let space = 0;
  let sentence = 0;
  for (const { segment, index } of graphemes) {
    const next = index + segment.length;
    if (fill(text.slice(0, next)) > 1) break;
    end = next;
    if (/\s/.test(text[next] ?? ' ')) {
      space = next;
      if (/[.!?:。！？؟]$/.test(segment)) sentence = next;
    }
  }
  return sentence || space || end;
}

/**
 * Lines packed into as few messages as hold them, in order. A line is broken only where it is longer than a message;
 * nothing is lost but the white space at a break.
 */
export function textMessages(lines: readonly string[]): readonly string[] {
  const messages: string[] = [];
  for (const line of lines) {
    let rest = plainMarks(line).trim();
    const last = messages.at(-1);
    if (last !== undefined && fill(`${last}\n${rest}`) <= 1) {
      messages[messages.length - 1] = `${last}\n${rest}`;
      continue;
    }
    while (fill(rest) > 1) {
      const at = cut(rest);
      messages.push(rest.slice(0, at).trim());
      rest = rest.slice(at).trim();
    }
    if (rest !== '') messages.push(rest);
  }
  return messages;
}
