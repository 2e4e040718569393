const RIGHT_TO_LEFT = new Set(['ar', 'ckb', 'dv', 'fa', 'he', 'ps', 'sd', 'ug', 'ur', 'yi']);

/** The direction a language is written in, for the `dir` attribute. */
export function textDirection(language: string): 'ltr' | 'rtl' {
  return RIGHT_TO_LEFT.has(language.split('-')[0]?.toLowerCase() ?? '') ? 'rtl' : 'ltr';
}
