/** What a try at a password costs, for scrypt: 128 MiB, OWASP's first choice (Password Storage Cheat Sheet, from memory). */
export const PASSWORD_COST = { N: 2 ** 17, r: 8, p: 1 };
