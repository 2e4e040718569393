import type { Store } from '#src/store/store.ts';
import { paths } from './paths.ts';
import { newToken, tokenHash } from './secrets.ts';

const OPEN_FOR_MS = 24 * 60 * 60 * 1000;

/** The link that lets the first coordinator choose a name and password; null once somebody has an account. Each call replaces the link before. */
export async function firstRunLink(store: Store, publicUrl: string): Promise<string | null> {
  if ((await store.accounts.count()) > 0) return null;
  const token = newToken();
  await store.accounts.keepFirstLink(tokenHash(token), OPEN_FOR_MS);
  return `${publicUrl.replace(/\/+$/, '')}${paths.firstLink(token)}`;
}
