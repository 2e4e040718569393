import { MAX_PHOTO_BYTES } from '#src/label-photo/photo-bytes.ts';
import type { PhotoReader } from '#src/label-photo/photo-reader.ts';
import type { SentPhoto } from '#src/turns/turns-types.ts';
import type { PhotoGate } from './photo-gate.ts';

const LONGEST_FETCH_MS = 8000;
/** Vendors send on to where their files lie. */
const MOST_REDIRECTS = 2;
/** Of several photos of one message so many are fetched. */
const MOST_PHOTOS = 3;

export interface MediaSource {
  /** From where photos are fetched, and from nowhere else: scheme, host and port, such as `https://media.example.org`. */
  readonly origins: readonly string[];
  /** What one of them wants to see; no other is shown it. */
  readonly authorization?: { readonly origin: string; readonly header: string };
}

/** Fetches photos that a message names by address; null where none of them may be fetched, or can be. */
export type RemotePhotos = (urls: readonly string[]) => Promise<SentPhoto | null>;

const mayFetch = (url: URL, { origins }: MediaSource): boolean =>
  url.username === '' && url.password === '' && origins.includes(url.origin);

/** A body of no more bytes than a photo may have. */
async function bytesOf(response: Response): Promise<Buffer | null> {
  if (Number(response.headers.get('content-length') ?? 0) > MAX_PHOTO_BYTES) return null;
  const chunks: Uint8Array[] = [];
  let size = 0;
  for await (const chunk of response.body ?? []) {
    size += chunk.length;
    if (size > MAX_PHOTO_BYTES) return null;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

/** One file by its address, of which every step is checked anew. Null for whatever goes wrong. */
async function fetchMedia(address: string, source: MediaSource, longestMs: number): Promise<Buffer | null> {
  const off = new AbortController();
  const late = setTimeout(() => off.abort(), longestMs);
  try {
    let url = new URL(address);
    for (let hops = 0; hops <= MOST_REDIRECTS; hops++) {
      if (!mayFetch(url, source)) return null;
      const { authorization } = source;
      const headers = authorization?.origin === url.origin ? { Authorization: authorization.header } : undefined;
      const response = await fetch(url, { redirect: 'manual', signal: off.signal, ...(headers && { headers }) });
      const next = response.status >= 300 && response.status < 400 ? response.headers.get('location') : null;
      if (next === null) return response.ok ? await bytesOf(response) : null;
      url = new URL(next, url);
    }
    return null;
  } catch {
    return null;
  } finally {
    clearTimeout(late);
    // What is left of an answer is not waited for.
    off.abort();
  }
}

export function createRemotePhotos(
  source: MediaSource,
  read: PhotoReader['read'],
  gate: PhotoGate,
  longestMs = LONGEST_FETCH_MS,
): RemotePhotos {
  const take = async (urls: readonly string[]): Promise<SentPhoto | null> => {
    const files: Buffer[] = [];
    for (const url of urls.slice(0, MOST_PHOTOS)) {
      const file = await fetchMedia(url, source, longestMs);
      if (file) files.push(file);
    }
    return files.length > 0 ? read(files) : null;
  };
  return async (urls) => {
    const named = urls.filter((url) => URL.canParse(url) && mayFetch(new URL(url), source));
    return named.length > 0 ? await gate.pass(() => take(named)) : null;
  };
}
