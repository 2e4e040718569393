import type { Request } from 'restify';
import type { ConversationStore } from '#src/store/store.ts';
import { type Credentials, readCredentials } from './credentials.ts';
import type { Tokens } from './tokens.ts';

export interface Denied {
  readonly ok: false;
  readonly status: 401 | 403 | 404;
  readonly code: string;
  readonly message: string;
}

export interface Access {
  /** Who may open conversations: anyone, unless a secret is configured. */
  opener(req: Request): Extract<Credentials, { ok: true }> | Denied;
  /** The conversation of the address, if it exists and the caller may use it. */
  conversation(
    req: Request,
  ): Promise<{ readonly ok: true; readonly conversationId: string; readonly user: string | null } | Denied>;
}

export function createAccess(store: ConversationStore, tokens: Tokens, secret: string | null): Access {
  return {
    opener(req) {
      const who = readCredentials(req, tokens, secret);
      // A stock client without a token sends `Bearer undefined`; where anyone may open, so may it.
      if (secret === null && !who.ok && who.code === 'BadArgument') return { ok: true, kind: 'open' };
      if (!who.ok || who.kind !== 'open' || secret === null) return who;
      return denied(401, 'Unauthorized', 'A Direct Line secret or token is needed.');
    },
    async conversation(req) {
      const who = readCredentials(req, tokens, secret);
      if (!who.ok) return who;
      if (who.kind === 'open') return denied(401, 'Unauthorized', 'A token of this conversation is needed.');
      const conversationId = String(req.params.conversationId);
      // A deleted conversation still has its goodbye.
      const known = (await store.load(conversationId)) ?? (await store.lastReply(conversationId));
      if (!known) return denied(404, 'ConversationNotFound', 'There is no such conversation; start one first.');
      if (who.kind !== 'token') return { ok: true, conversationId, user: null };
      if (who.conversationId === conversationId) return { ok: true, conversationId, user: who.user };
      return denied(403, 'BadArgument', 'The token belongs to another conversation.');
    },
  };
}

function denied(status: 401 | 403 | 404, code: string, message: string): Denied {
  return { ok: false, status, code, message };
}
