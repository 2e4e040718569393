import type { PageWords } from '../page-words.ts';
import type { ActivitySet } from './activities.ts';

const TIMEOUT_MS = 25_000;

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
  language: string | null;
}): Promise<Started> {
  return call('/chat/start', { ...json(opening), headers: { 'Content-Type': 'application/json' } });
}

export function loadWords(language: string): Promise<PageWords> {
  return call(`/chat/words/${language}`, {});
}

const activitiesOf = (conversation: Started, watermark: string) =>
  `/v3/directline/conversations/${conversation.conversationId}/activities?watermark=${watermark}`;

export function sendMessage(conversation: Started, watermark: string, message: Outgoing): Promise<ActivitySet> {
  const activity = {
    type: 'message',
    from: { id: 'user' },
    text: message.text,
    ...(message.choiceIds.length > 0 && { value: { choiceIds: message.choiceIds } }),
    channelData: { clientActivityID: message.id },
  };
  return call(activitiesOf(conversation, watermark), {
    ...json(activity),
    headers: {
      'Content-Type': 'application/json',
      Authorization: `Bearer ${conversation.token}`,
      Prefer: 'return=representation',
    },
  });
}

export function look(conversation: Started, watermark: string): Promise<ActivitySet> {
  return call(activitiesOf(conversation, watermark), { headers: { Authorization: `Bearer ${conversation.token}` } });
}

/** 96 random bits; `crypto.randomUUID` is missing where the page is not served over https. */
export function newMessageId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
