/** The best of the languages at hand for the wanted ones, in their order; English when none is. */
export function bestLanguage(atHand: readonly string[], wanted: readonly string[]): string {
  // CLDR writes Tagalog as Filipino, and phones follow it.
  const base = (tag: string) => tag.split('-')[0]?.toLowerCase().replace(/^fil$/, 'tl');
  for (const tag of wanted) {
    const found =
      atHand.find((language) => language.toLowerCase() === tag.toLowerCase()) ??
      atHand.find((language) => base(language) === base(tag));
    if (found) return found;
  }
  return 'en';
}
