import { createHmac } from 'node:crypto';
import { returnPath } from './paths.ts';

/** One way to the provider and back; all of it comes from a secret in the browser's cookie, so nothing is stored. */
export interface Flow {
  readonly state: string;
  readonly nonce: string;
  /** Of PKCE (RFC 7636): 43 characters. */
  readonly verifier: string;
  /** Where to go afterwards. */
  readonly next: string;
}

const OPEN_FOR_MS = 10 * 60_000;

const derive = (secret: string, purpose: string): string =>
  createHmac('sha256', secret).update(purpose).digest('base64url');

const flowOf = (secret: string, payload: string, next: string): Flow => ({
  state: `${payload}.${derive(secret, `state ${payload}`)}`,
  nonce: derive(secret, `nonce ${payload}`),
  verifier: derive(secret, `verifier ${payload}`),
  next,
});

/** Begins a way under a fresh secret. */
export function beginFlow(secret: string, next: string, now: Date): Flow {
  const payload = Buffer.from(JSON.stringify([now.getTime(), next])).toString('base64url');
  return flowOf(secret, payload, next);
}

/**
 * The flow that the browser with this secret began, by the state that came back. The client compares the whole state;
 * null for one that is no state of ours, or older than ten minutes.
 */
export function resumeFlow(secret: string, state: string, now: Date): Flow | null {
  const [payload = ''] = state.split('.');
  try {
    const [at, next] = JSON.parse(Buffer.from(payload, 'base64url').toString()) as [unknown, unknown];
    if (typeof at !== 'number' || typeof next !== 'string') return null;
    if (now.getTime() - at >= OPEN_FOR_MS || at > now.getTime()) return null;
    return flowOf(secret, payload, returnPath(next));
  } catch {
    return null;
  }
}
