/** The longest message taken, in UTF-16 units. */
export const MAX_TEXT_LENGTH = 10_000;

/**
 * A caregiver's words as any store and any screen can hold them: control characters become spaces
 * (tabs and line breaks stay), and halves of surrogate pairs become U+FFFD.
 */
export function cleanText(text: string): string {
  return text
    .toWellFormed()
    .replace(/\r\n?/g, '\n')
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u2028\u2029]/g, ' ');
}
