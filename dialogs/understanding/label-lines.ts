/** One word that was read from a photo, and how sure the reader is of it (0 to 1). */
export interface PrintedWord {
  readonly text: string;
  readonly confidence: number;
}

/** A line of print, from top to bottom. */
export type PrintedLine = readonly PrintedWord[];

/** All that is printed, in one text that is searched: a statement may run on over several lines. */
export interface Print {
  /** Folded, with a line break where a line ends. */
  readonly text: string;
  /** As printed, of the same length. */
  readonly raw: string;
  /** How sure the reader is of the least sure word that a stretch of the text touches (0 to 1). */
  readonly confidence: (from: number, to: number) => number;
}

/** One character for one, so that places in the folded text are places in the print. */
const fold = (print: string): string =>
  print
    .split('')
    .map((character) => {
      const plain = character.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
      return plain.length === character.length ? plain : character;
    })
    .join('')
    .replace(/[–—−]/g, '-')
    .replace(/[’‘`´]/g, "'")
    .replace(/[“”″]/g, '"')
    // Readers of print take the l of "lb" for I, 1 or a bar.
    .replace(/(?<=[\d\s(])[i1|!](?=bs?\b)/g, 'l')
    .replace(/(?<=\d)[o](?=[\d.,]|\b)/g, '0')
    .replace(/\bcrn\b/g, 'cm ')
    .replace(/(?<=\d\s?)em\b/g, 'cm')
    .replace(/(?<=\d[.,]?\d*\s?)k9\b/g, 'kg');

interface Placed extends PrintedWord {
  readonly start: number;
  readonly end: number;
}

/** Lines of words as one searchable text. */
export function printOf(lines: readonly PrintedLine[]): Print {
  const placed: Placed[] = [];
  let raw = '';
  for (const line of lines) {
    if (raw !== '') raw += '\n';
    line.forEach((word, i) => {
      if (i > 0) raw += ' ';
      placed.push({ ...word, start: raw.length, end: raw.length + word.text.length });
      raw += word.text;
    });
  }
  return {
    text: fold(raw),
    raw,
    confidence: (from, to) =>
      Math.min(1, ...placed.filter(({ start, end }) => start < to && end > from).map(({ confidence }) => confidence)),
  };
}
