import { describe, expect, it } from 'vitest';
import { createTokens } from '#src/channels/direct-line/tokens.ts';
import { knowingOldKeys } from '#src/protection/old-keys.ts';
import { deriveKey } from '#src/secret-key.ts';

let now = new Date('2026-05-16T12:00:00Z');
const under = (secret: string) => createTokens(deriveKey(secret, 'direct-line'), () => now);
const old = under('the key before');
const present = under('the key now');
const both = knowingOldKeys(present, [old]);

describe('a token after the key was replaced', () => {
  it('is good when the old key signed it, for its own use only', () => {
    const token = old.issue('resume', 'k1', null);
    expect(both.check(token, 'resume')).toEqual({ ok: true, conversationId: 'k1', user: null });
    expect(both.check(token, 'conversation')).toEqual({ ok: false, reason: 'malformed' });
    expect(present.check(token, 'resume')).toEqual({ ok: false, reason: 'malformed' });
  });

  it('is issued under the present key', () => {
    const token = both.issue('conversation', 'k1', 'u');
    expect(present.check(token, 'conversation')).toEqual({ ok: true, conversationId: 'k1', user: 'u' });
    expect(old.check(token, 'conversation')).toEqual({ ok: false, reason: 'malformed' });
  });

  it('under no key of ours is refused, and an old one that ran out is said to have', () => {
    expect(both.check(under('of somebody else').issue('resume', 'k1', null), 'resume').ok).toBe(false);
    const token = old.issue('stream', 'k1', null);
    now = new Date(now.getTime() + 60_000);
    expect(both.check(token, 'stream')).toEqual({ ok: false, reason: 'expired' });
  });
});
