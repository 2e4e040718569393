import { childFact, type View } from './questions/question.ts';

const escaped = (name: string): string => name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** The one child whom a text calls by name; null where it names none or several. */
export function childNamed(text: string, view: View): string | null {
  const named = view.case.children.filter(({ id, name }) => {
    if (!name || !view.known(childFact(id, 'name'))) return false;
    const whole = /[\p{Script=Han}\p{Script=Hangul}\p{Script=Arabic}]/u.test(name)
      ? escaped(name)
      : `(?<![\\p{L}\\p{N}])${escaped(name)}(?![\\p{L}\\p{N}])`;
    return new RegExp(whole, 'iu').test(text.normalize('NFKC'));
  });
  return named.length === 1 ? (named[0]?.id ?? null) : null;
}
