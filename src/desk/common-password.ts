/**
 * Beginnings that passwords are often made of, with the words of this service. From memory of what reports of leaked
 * passwords name year after year, not one of their lists; with longer passwords, few whole ones would match such a list.
 */
const WORDS = [
  ...['password', 'passwort', 'passw', 'contrasena', 'clave', 'senha', 'motdepasse', 'secret', 'secreto'],
  ...[
    'letmein',
    'letmeinnow',
    'welcome',
    'bienvenido',
    'hello',
    'hola',
    'login',
    'iloveyou',
    'teamo',
    'loveyou',
    'love',
  ],
  ...['admin', 'administrator', 'root', 'user', 'guest', 'test', 'default', 'change', 'changeme', 'master', 'access'],
  ...['dragon', 'monkey', 'shadow', 'sunshine', 'princess', 'superman', 'batman', 'football', 'baseball', 'soccer'],
  ...['freedom', 'whatever', 'trustno', 'starwars', 'pokemon', 'flower', 'summer', 'winter', 'spring', 'autumn'],
  ...['lapwing', 'carseat', 'childseat', 'seatcheck', 'carseatcheck', 'technician', 'coordinator', 'safety', 'desk'],
] as const;

/** Keys in a row, and the alphabet; read from either end. */
const ROWS = [
  'qwertyuiop',
  'asdfghjkl',
  'zxcvbnm',
  'azertyuiop',
  'qwertzuiop',
  '1234567890',
  '0123456789',
  '!@#$%^&*()',
];
const RUNS = [...ROWS, 'abcdefghijklmnopqrstuvwxyz'].flatMap((row) => [row, [...row].reverse().join('')]);
const SHORTEST_RUN = 4;

/** Signs that are put for letters. */
const LETTER_FOR: Readonly<Record<string, string>> = {
  '0': 'o',
  '1': 'i',
  '3': 'e',
  '4': 'a',
  '5': 's',
  '7': 't',
  '@': 'a',
  $: 's',
  '!': 'i',
};

/** So many characters have to be left beside what anybody would guess. */
const LEAST_OF_ITS_OWN = 6;

const folded = (text: string): string[] => [
  ...text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[\p{M}\s_.-]+/gu, ''),
];

const asLetters = (characters: readonly string[]): string[] => characters.map((one) => LETTER_FOR[one] ?? one);

/** Where a run of keys that begins here ends, as far as it goes. */
function runEnd(characters: readonly string[], start: number): number {
  let longest = start;
  for (const run of RUNS) {
    const from = run.indexOf(characters[start] ?? '\0');
    if (from < 0) continue;
    let end = start;
    while (end < characters.length && characters[end] === run[from + end - start]) end++;
    longest = Math.max(longest, end);
  }
  return longest;
}

const sameAt = (characters: readonly string[], from: number, piece: readonly string[]): boolean =>
  piece.every((one, i) => characters[from + i] === one);

/**
 * The fewest characters that are left when a password is taken apart into words that anybody would guess, runs of keys,
 * years and repetitions of what stands right before.
 */
function ofItsOwn(characters: readonly string[], words: readonly (readonly string[])[]): number {
  const left = Array.from({ length: characters.length + 1 }, (_, i) => i);
  const reach = (at: number, count: number) => {
    left[at] = Math.min(left[at] as number, count);
  };
  for (const [at] of characters.entries()) {
    const here = left[at] as number;
    reach(at + 1, here + 1);
    for (const word of words) if (sameAt(characters, at, word)) reach(at + word.length, here);
    const end = runEnd(characters, at);
    for (let to = at + SHORTEST_RUN; to <= end; to++) reach(to, here);
    if (/^(?:19|20)\d\d$/.test(characters.slice(at, at + 4).join(''))) reach(at + 4, here);
    for (let length = 1; length <= at; length++)
      if (sameAt(characters, at, characters.slice(at - length, at))) reach(at + length, here);
  }
  return left[characters.length] as number;
}

/**
 * Whether a password is made of what anybody would try: NIST SP 800-63B, 3.1.1.2 asks to compare new ones with a list of
 * those commonly used, expected or compromised, context such as the service's and the account's name among them. This
 * is no such list but the patterns behind most of it; passwords that leaked elsewhere are not known to it.
 */
export function isCommonPassword(password: string, accountName: string): boolean {
  const names = accountName
    .split(/\s+/u)
    .map(folded)
    .filter((part) => part.length >= 3);
  const words = [...WORDS.map((word) => [...word]), ...names, folded(accountName)].filter((word) => word.length > 0);
  const characters = folded(password);
  return [characters, asLetters(characters)].some((one) => ofItsOwn(one, words) < LEAST_OF_ITS_OWN);
}
