import { tokenise } from './tokens.ts';
import { isKnown, type Vocabulary } from './vocabulary.ts';

const WORD = /\p{L}[\p{L}\p{M}'’]*/gu;
const UNSPACED = /[\p{Script=Han}\p{Script=Hangul}]/u;
const SHORTEST = 2;
const LONGEST = 20;

/** A nickname as people hang it on: "Mia's", "Leo’s". */
const bare = (word: string): string => word.replace(/['’]s$/u, '');

/**
 * What a child is called in what is said of it: the one word the lexicon does not know, or the one such word with a
 * capital. Null where none or several could be it, and in scripts that hang particles on names.
 */
export function nameIn(text: string, vocabulary: Vocabulary): string | null {
  const strange = [...new Set((text.normalize('NFKC').match(WORD) ?? []).map(bare))].filter((word) => {
    const [token, ...more] = tokenise(word, vocabulary.writing);
    return word.length >= SHORTEST && token && more.length === 0 && !isKnown(vocabulary, token.text);
  });
  const capital = strange.filter((word) => /^\p{Lu}/u.test(word));
  const [name, ...others] = capital.length > 0 ? capital : strange;
  return name && others.length === 0 && name.length <= LONGEST && !UNSPACED.test(name) ? name : null;
}
