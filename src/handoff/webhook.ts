import { createHmac } from 'node:crypto';
import type { Clock } from '#src/clock.ts';
import type { Message, Send, Sent } from './destination.ts';

/** The specification advises 15 to 30 seconds. */
const TIMEOUT_MS = 20_000;
/** So much of an answer is read, to let the connection be used again; nothing in it matters. */
const MOST_ANSWER_BYTES = 16_000;
const LONGEST_RETRY_AFTER_MS = 24 * 60 * 60 * 1000;

export interface WebhookOptions {
  readonly url: string;
  /** Keys as `whsec_` and base64; the first is the present one, others are being replaced. */
  readonly secrets: readonly string[];
  readonly clock: Clock;
  readonly timeoutMs?: number;
}

const TYPES: Readonly<Record<Message['kind'], string>> = { summary: 'summary.sent', 'person-wanted': 'person.wanted' };

/** The key of a secret: base64 after its prefix. */
export function keyOf(secret: string): Buffer {
  return Buffer.from(secret.replace(/^whsec_/, ''), 'base64');
}

/** `v1,` and HMAC-SHA-256 over id, timestamp and body, one for each key. */
function signatures(secrets: readonly string[], signed: string): string {
  return secrets.map((secret) => `v1,${createHmac('sha256', keyOf(secret)).update(signed).digest('base64')}`).join(' ');
}

async function readLittle(answer: Response): Promise<void> {
  let bytes = 0;
  for await (const chunk of answer.body ?? []) {
    bytes += chunk.length;
    // Leaving the loop closes the connection.
    if (bytes > MOST_ANSWER_BYTES) return;
  }
}

/** Retry-After (RFC 9110) in milliseconds. */
function retryAfterMs(header: string | null, now: number): number {
  if (header === null) return 0;
  const given = /^\d+$/.test(header) ? Number(header) * 1000 : Date.parse(header) - now;
  return Number.isNaN(given) ? 0 : Math.min(Math.max(given, 0), LONGEST_RETRY_AFTER_MS);
}

function judge(answer: Response, now: number): Sent {
  const { status } = answer;
  if (answer.ok) return { ok: true };
  const why = `answered ${status}`;
  // 410 is the receiver's way to say: never again.
  if (status === 410) return { ok: false, why, retry: false };
  return { ok: false, why, retry: true, afterMs: retryAfterMs(answer.headers.get('retry-after'), now) };
}

const codeOf = (error: unknown): string | null => {
  const code = ((error as Error).cause as { code?: unknown } | undefined)?.code;
  return typeof code === 'string' ? code : null;
};

/**
 * Posts a message as Standard Webhooks describes it (https://www.standardwebhooks.com, specification 1.0).
 * A redirect is not followed, so nothing goes to a host that nobody set.
 */
export function webhook({ url, secrets, clock, timeoutMs = TIMEOUT_MS }: WebhookOptions): Send {
  return async ({ id, kind, summary, at }) => {
    const body = JSON.stringify({ type: TYPES[kind], timestamp: at, data: summary });
    const now = clock().getTime();
    const timestamp = String(Math.floor(now / 1000));
    try {
      const answer = await fetch(url, {
        method: 'POST',
        redirect: 'manual',
        signal: AbortSignal.timeout(timeoutMs),
        headers: {
          'Content-Type': 'application/json',
          'User-Agent': 'Lapwing',
          'webhook-id': id,
          'webhook-timestamp': timestamp,
          'webhook-signature': signatures(secrets, `${id}.${timestamp}.${body}`),
        },
        body,
      });
      const sent = judge(answer, now);
      await readLittle(answer);
      return sent;
    } catch (error) {
      const why = (error as Error).name === 'TimeoutError' ? 'no answer in time' : (codeOf(error) ?? 'not reached');
      return { ok: false, why, retry: true };
    }
  };
}
