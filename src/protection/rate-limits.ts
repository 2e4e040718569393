import type { BlockList } from 'node:net';
import type { Request, RequestHandler } from 'restify';
import { isLoopbackAddress } from '#src/channels/bot-framework/loopback.ts';
import type { Clock } from '#src/clock.ts';
import type { Logger } from '#src/log.ts';
import { addressKey, clientAddress } from './client-address.ts';
import { createTokenBuckets, type TokenBuckets } from './token-buckets.ts';

/** So many keys at most are remembered of each kind; a few megabytes. */
const MAX_KEYS = 20_000;

const UNLIMITED = /^\/(?:healthz|readyz|metrics)\/?$/;
/** Routes whose callers sign: the few addresses of a channel's service speak for all its families. */
const SIGNED = /^\/api\/(?:messages|sms)\/?$/;
const SIGNED_TIMES = 20;
const MESSAGE = /^\/v3\/directline\/conversations\/([^/]+)\/(?:activities|upload)\/?$/;

export interface RateLimits {
  /** Requests a minute from one address, and as many at once; null: no limit. */
  readonly perAddress: number | null;
  /** Messages a minute in one conversation, and as many at once; null: no limit. */
  readonly perConversation: number | null;
}

export interface RateLimitDeps {
  readonly limits: RateLimits;
  /** Proxies whose X-Forwarded-For is believed. */
  readonly proxies: BlockList;
  readonly clock: Clock;
  readonly log: Logger;
}

/** Answered 429; the sender may try again after so many whole seconds. */
export class TooManyRequestsError extends Error {
  override readonly name = 'TooManyRequestsError';
  readonly statusCode = 429;
  readonly retryAfterSeconds: number;
  constructor(retryAfterSeconds: number) {
    super('too many requests');
    this.retryAfterSeconds = retryAfterSeconds;
  }
}

const messageTo = (req: Request): string | null =>
  req.method === 'POST' ? (MESSAGE.exec(req.path())?.[1] ?? null) : null;

/** A limit for the messages of each conversation of one channel; null: none is set. */
export const messageLimits = ({ perConversation }: RateLimits, clock: Clock): TokenBuckets | null =>
  perConversation === null
    ? null
    : createTokenBuckets({ burst: perConversation, perMinute: perConversation }, MAX_KEYS, clock);

/**
 * Refuses an address and a conversation that send too much, before anything is read or looked up. What is asked on this
 * machine itself is not counted by address: a proxy on it that is not named in the settings speaks for everyone.
 */
export function rateLimits({ limits, proxies, clock, log }: RateLimitDeps): RequestHandler {
  const bucketsOf = (perMinute: number | null): TokenBuckets | null =>
    perMinute === null ? null : createTokenBuckets({ burst: perMinute, perMinute }, MAX_KEYS, clock);
  const addresses = bucketsOf(limits.perAddress);
  const services = bucketsOf(limits.perAddress && limits.perAddress * SIGNED_TIMES);
  const conversations = bucketsOf(limits.perConversation);
  let warned = false;

  const addressWait = (req: Request): number => {
    const forwarded = req.headers['x-forwarded-for'];
    const address = clientAddress(req.socket.remoteAddress, forwarded?.toString(), proxies);
    if (address === null || !isLoopbackAddress(address)) {
      const buckets = SIGNED.test(req.path()) ? services : addresses;
      return buckets?.take(address ? addressKey(address) : '') ?? 0;
    }
    if (forwarded !== undefined && !warned) {
      warned = true;
      log.warn({ setting: 'LAPWING_TRUSTED_PROXIES' }, 'a proxy that is not named: addresses are not limited');
    }
    return 0;
  };

  return (req, _res, next) => {
    if (UNLIMITED.test(req.path())) return next();
    const conversation = messageTo(req);
    const waitSeconds = addressWait(req) || (conversation ? (conversations?.take(conversation) ?? 0) : 0);
    if (waitSeconds > 0) return next(new TooManyRequestsError(waitSeconds));
    next();
  };
}
