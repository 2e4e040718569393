/** Stored text as JSON; null when there is none, or when it is not JSON. The caller checks the shape. */
export function jsonOrNull(text: string | null): unknown {
  if (text === null) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
