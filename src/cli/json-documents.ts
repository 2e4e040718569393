/** One JSON document of a stream, or why it is none. */
export type JsonDocument = { ok: true; value: unknown } | { ok: false; message: string };

const parse = (text: string): JsonDocument => {
  try {
    return { ok: true, value: JSON.parse(text) };
  } catch (error) {
    return { ok: false, message: `not JSON: ${error instanceof Error ? error.message : String(error)}` };
  }
};

/** How many brackets a text leaves open, strings aside. */
const openBrackets = (text: string): number => {
  const bare = text.replace(/"(?:[^"\\]|\\.)*"/g, '');
  return (bare.match(/[{[]/g)?.length ?? 0) - (bare.match(/[}\]]/g)?.length ?? 0);
};

const goesOn = (text: string, result: JsonDocument): boolean => !result.ok && /^\s*[{[](?:.*[{[,])?\s*$/s.test(text);

/**
 * Reads JSON documents out of lines: one a line, or one spread over several lines as printed for people. A line that
 * `startsAnew` recognises as a whole document ends an unfinished one before it. Blank lines are ignored.
 */
export async function* jsonDocuments(
  lines: AsyncIterable<string>,
  startsAnew: (value: unknown) => boolean,
): AsyncGenerator<JsonDocument> {
  let pending = '';
  let open = 0;
  for await (const line of lines) {
    if (line.trim() === '') continue;
    const result = parse(line);
    if (pending !== '' && result.ok && startsAnew(result.value)) {
      yield parse(pending);
      pending = '';
    }
    if (pending === '') {
      if (!goesOn(line, result)) {
        yield result;
        continue;
      }
      open = 0;
    }
    pending += `${line}\n`;
    open += openBrackets(line);
    if (open > 0) continue;
    yield parse(pending);
    pending = '';
  }
  if (pending !== '') yield parse(pending);
}
