import type { PageWords } from '../page-words.ts';
import type { ActivitySet } from './activities.ts';
import type { Photo } from './photo.ts';

const TIMEOUT_MS = 25_000;
/** A photo on its way over a poor line, and the time to read it. */
const PHOTO_TIMEOUT_MS = 120_000;

export interface Started extends ActivitySet {
  readonly conversationId: string;
  readonly token: string;
  /** False when the key that was given opened nothing, and at a first visit. */
  readonly resumed: boolean;
  /** Opens this conversation again, on this device or another. */
  readonly key: string;
}

export interface Outgoing {
  /** Made once for a message, so that sending it again changes nothing. */
  readonly id: string;
  readonly text: string;
  readonly choiceIds: readonly string[];
  /** Sent in place of words. */
  readonly photo?: Photo;
}

/** `code` is the server's; `status` is 0 when nothing was heard from it. */
export class ApiError extends Error {
  readonly status: number;
  readonly code: string;
  constructor(status: number, code: string) {
    super(code);
    this.status = status;
    this.code = code;
  }
}

async function call<T>(path: string, init: RequestInit): Promise<T> {
  let response: Response;
  let body: unknown;
  try {
    response = await fetch(path, { ...init, signal: AbortSignal.timeout(TIMEOUT_MS) });
    body = await response.json();
  } catch {
    throw new ApiError(0, 'Unreachable');
  }
  if (response.ok) return body as T;
  throw new ApiError(response.status, (body as { error?: { code?: string } }).error?.code ?? '');
}

const json = (body: unknown) => ({ method: 'POST', body: JSON.stringify(body) });

export function start(opening: {
  key: string | null;
  event: string | null;
  walkIn: string | null;
  language: string | null;
}): Promise<Started> {
  return call('/chat/start', { ...json(opening), headers: { 'Content-Type': 'application/json' } });
}

export function loadWords(language: string): Promise<PageWords> {
  return call(`/chat/words/${language}`, {});
}

const placeOf = (conversation: Started, what: 'activities' | 'upload', watermark: string) =>
  `/v3/directline/conversations/${conversation.conversationId}/${what}?watermark=${watermark}`;

const activityOf = ({ id, text, choiceIds }: Outgoing) => ({
  type: 'message',
  from: { id: 'user' },
  text,
  ...(choiceIds.length > 0 && { value: { choiceIds } }),
  channelData: { clientActivityID: id },
});

const answeredAtOnce = ({ token }: Started) => ({ Authorization: `Bearer ${token}`, Prefer: 'return=representation' });

export function sendMessage(conversation: Started, watermark: string, message: Outgoing): Promise<ActivitySet> {
  return call(placeOf(conversation, 'activities', watermark), {
    ...json(activityOf(message)),
    headers: { 'Content-Type': 'application/json', ...answeredAtOnce(conversation) },
  });
}

/** Sends a photo and tells how much of it has arrived, from 0 to 1; `signal` calls it off. */
export function sendPhoto(
  conversation: Started,
  watermark: string,
  message: Outgoing & { readonly photo: Photo },
  onProgress: (share: number) => void,
  signal: AbortSignal,
): Promise<ActivitySet> {
  const form = new FormData();
  form.append('activity', new Blob([JSON.stringify(activityOf(message))], { type: 'application/json' }));
  form.append('file', message.photo.blob, 'photo.jpg');
  return new Promise((resolve, reject) => {
    // `fetch` does not tell how far an upload is.
    const request = new XMLHttpRequest();
    request.open('POST', placeOf(conversation, 'upload', watermark));
    for (const [name, value] of Object.entries(answeredAtOnce(conversation))) request.setRequestHeader(name, value);
    request.responseType = 'json';
    request.timeout = PHOTO_TIMEOUT_MS;
    request.upload.onprogress = ({ loaded, total }) => onProgress(total > 0 ? loaded / total : 0);
    request.upload.onload = () => onProgress(1);
    request.onload = () => {
      if (request.status === 200) resolve(request.response);
      else reject(new ApiError(request.status, request.response?.error?.code ?? ''));
    };
    request.onerror = request.ontimeout = request.onabort = () => reject(new ApiError(0, 'Unreachable'));
    signal.addEventListener('abort', () => request.abort());
    request.send(form);
  });
}

export function look(conversation: Started, watermark: string): Promise<ActivitySet> {
  return call(placeOf(conversation, 'activities', watermark), {
    headers: { Authorization: `Bearer ${conversation.token}` },
  });
}

/** 96 random bits; `crypto.randomUUID` is missing where the page is not served over https. */
export function newMessageId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
