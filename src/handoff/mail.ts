import type { Transporter } from 'nodemailer';
import type { Say } from '#src/words/words.ts';
import type { Message, Send, Sent } from './destination.ts';

const CONNECT_MS = 10_000;
const SILENCE_MS = 30_000;

export interface MailOptions {
  /** `smtp://` (with STARTTLS; on this machine without) or `smtps://`, with user and password if the server wants them. */
  readonly smtpUrl: string;
  readonly from: string;
  readonly to: readonly string[];
  /** `locales/<language>/mail.json` */
  readonly say: Say;
  /** The address of a case at the desk. */
  readonly deskAddress: (reference: string) => string;
}

const isHere = (hostname: string): boolean => /^(?:localhost|127(?:\.\d+){3}|\[::1\])$/.test(hostname);

/** Mail travels through many hands, so it names the case and no fact of the family. */
function textOf({ kind, summary }: Message, { say, deskAddress }: MailOptions): { subject: string; text: string } {
  const { reference, assessment } = summary;
  const lines = [
    say(`body.${kind}`, { reference }),
    ...(assessment.visit.priority === 'before-travel' ? [say('body.before-travel')] : []),
    say('body.open', { address: deskAddress(reference) }),
    say('body.why'),
  ];
  return { subject: say(`subject.${kind}`, { reference }), text: `${lines.join('\n\n')}\n` };
}

/** A way to an SMTP server, encrypted unless it is on this machine. */
export async function mailTransport(smtpUrl: string): Promise<Transporter> {
  const { hostname } = new URL(smtpUrl);
  const { default: nodemailer } = await import('nodemailer');
  return nodemailer.createTransport({
    url: smtpUrl,
    requireTLS: smtpUrl.startsWith('smtp:') && !isHere(hostname),
    connectionTimeout: CONNECT_MS,
    greetingTimeout: CONNECT_MS,
    socketTimeout: SILENCE_MS,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
}

interface Letter {
  readonly from: string;
  readonly to: readonly string[];
  readonly subject: string;
  readonly text: string;
  /** The same however often it is sent: it carries the same Message-ID then (RFC 5322). */
  readonly id: string;
  /** When it was caused (ISO 8601). */
  readonly at: string;
}

export async function sendOne(transport: Promise<Transporter>, { id, at, to, from, ...letter }: Letter): Promise<Sent> {
  const host = from.replace(/^.*@|>$/g, '');
  try {
    await (await transport).sendMail({
      ...letter,
      from,
      to: [...to],
      messageId: `<${id}@${host}>`,
      date: new Date(at),
      // RFC 3834: so that nothing answers it by itself.
      headers: { 'Auto-Submitted': 'auto-generated' },
    });
    return { ok: true };
  } catch (error) {
    const { code, responseCode } = error as { code?: string; responseCode?: number };
    return { ok: false, why: [code ?? 'not sent', responseCode].filter(Boolean).join(' '), retry: true };
  }
}

/** Sends a notice by SMTP. */
export function mail(options: MailOptions): Send {
  const { smtpUrl, from, to } = options;
  const transport = mailTransport(smtpUrl);
  return (message) => sendOne(transport, { from, to, ...textOf(message, options), id: message.id, at: message.at });
}
