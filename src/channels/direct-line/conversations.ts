import { randomBytes } from 'node:crypto';
import type { Request } from 'restify';
import { TOKEN_SECONDS, type Tokens } from './tokens.ts';

/** An id nobody can guess: 128 random bits. */
export function newConversationId(): string {
  return randomBytes(16).toString('base64url');
}

/** Direct Line's Conversation object. */
export interface ConversationObject {
  readonly conversationId: string;
  readonly token: string;
  readonly expires_in: number;
  readonly streamUrl?: string;
}

export function conversationObject(tokens: Tokens, conversationId: string, user: string | null): ConversationObject {
  return {
    conversationId,
    token: tokens.issue('conversation', conversationId, user),
    expires_in: TOKEN_SECONDS.conversation,
  };
}

/** The same with a stream address that begins after `watermark`. */
export function withStream(
  conversation: ConversationObject,
  tokens: Tokens,
  options: { readonly base: string; readonly watermark: string; readonly user: string | null },
): ConversationObject {
  const { conversationId } = conversation;
  const query = new URLSearchParams({
    watermark: options.watermark,
    t: tokens.issue('stream', conversationId, options.user),
  });
  const base = options.base.replace(/^http/, 'ws');
  return { ...conversation, streamUrl: `${base}/v3/directline/conversations/${conversationId}/stream?${query}` };
}

/** Where the client reaches us: the public address if one is set, else as the request was addressed. */
export function baseAddress(req: Request, publicUrl: string | null): string {
  return publicUrl ?? `http://${req.headers.host ?? 'localhost'}`;
}
