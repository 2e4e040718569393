/** A BCP 47 language in canonical form, or undefined when the text is not one. */
export function languageTag(text: unknown): string | undefined {
  if (typeof text !== 'string' || text.length > 35) return undefined;
  try {
    return Intl.getCanonicalLocales(text)[0];
  } catch {
    return undefined;
  }
}

/** An event's id as a link carries it, or undefined when it cannot be one. */
export function eventId(text: unknown): string | undefined {
  return typeof text === 'string' && /^[\w-]{1,64}$/.test(text) ? text : undefined;
}
