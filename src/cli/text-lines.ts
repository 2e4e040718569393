/** One line of a byte stream, or why it is none. */
export type TextLine = { ok: true; text: string } | { ok: false; message: string };

const LINE_FEED = 0x0a;

/** Lines of UTF-8 text; a line that is too long or no text is reported and never held in memory as a whole. */
export async function* textLines(chunks: AsyncIterable<Uint8Array>, mostBytes: number): AsyncGenerator<TextLine> {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  let parts: Uint8Array[] = [];
  let bytes = 0;
  const finish = (): TextLine => {
    const [held, size] = [parts, bytes];
    parts = [];
    bytes = 0;
    if (size > mostBytes) return { ok: false, message: `the line is longer than ${mostBytes} bytes` };
    try {
      return { ok: true, text: decoder.decode(Buffer.concat(held)) };
    } catch {
      return { ok: false, message: 'the line is not UTF-8' };
    }
  };
  for await (const chunk of chunks) {
    let from = 0;
    for (;;) {
      const end = chunk.indexOf(LINE_FEED, from);
      const part = chunk.subarray(from, end < 0 ? undefined : end);
      bytes += part.length;
      if (bytes <= mostBytes) parts.push(part);
      else parts = [];
      if (end < 0) break;
      yield finish();
      from = end + 1;
    }
  }
  if (bytes > 0) yield finish();
}
