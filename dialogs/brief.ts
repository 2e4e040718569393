const UNSPACED = /[\p{Script=Han}\p{Script=Thai}]/u;

/**
 * Whether a message says so little that a "yes" or "no" in it is all of it. "Yes, but the seat was in a crash" is not, and
 * where words are not parted by spaces it goes by characters.
 */
export function isBrief(text: string, mostWords: number): boolean {
  const letters = text
    .normalize('NFKC')
    .replace(/[^\p{L}\p{N}\p{M}\s'’]+/gu, ' ')
    .trim();
  if (UNSPACED.test(letters)) return letters.replace(/\s/g, '').length <= mostWords + 1;
  return letters.split(/\s+/).length <= mostWords;
}
