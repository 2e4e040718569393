import { readSnapshot } from '#dialogs/snapshot.ts';
import { isReminderKey } from '#src/store/reminders.ts';
import type { ConversationStore } from '#src/store/store.ts';
import { caregiverMessageSchema } from '#src/turns/caregiver-message.ts';
import type { Words } from '#src/words/words.ts';
import type { DeliverToCaregiver } from './caregiver.ts';
import { messageId } from './destination.ts';
import { mailTransport, sendOne } from './mail.ts';

export interface ReminderMailOptions {
  readonly smtpUrl: string;
  readonly from: string;
  readonly words: Words;
  readonly conversations: Pick<ConversationStore, 'load'>;
  /** The address people see the service at. */
  readonly base: string;
}

const ADDRESS = /[^\s@<>,;:"()]+@[^\s@<>,;:"()]+\.[\p{L}\d-]{2,}/u;

/**
 * Sends a reminder by e-mail too, where the family reads a page that nobody can write to out of turn and has left an
 * address. It goes into the conversation first, so that it can be answered there.
 */
export function remindingByMail(deliver: DeliverToCaregiver, options: ReminderMailOptions): DeliverToCaregiver {
  const transport = mailTransport(options.smtpUrl);
  return async (delivery) => {
    const delivered = await deliver(delivery);
    const { idempotencyKey = '', createdAt = '' } = delivery;
    if (!delivered.ok || !isReminderKey(idempotencyKey)) return delivered;
    const message = caregiverMessageSchema.safeParse(delivery.payload).data;
    const stored = message ? await options.conversations.load(message.conversationId) : null;
    if (!message || stored?.channel !== 'direct-line') return delivered;
    const read = readSnapshot(stored.snapshot);
    const to = read.ok ? ADDRESS.exec(read.snapshot.context.contact ?? '')?.[0] : undefined;
    if (!to) return delivered;
    const say = options.words.say(stored.language, 'take-home');
    const link = `${options.base}/?lang=${encodeURIComponent(stored.language)}`;
    return sendOne(transport, {
      from: options.from,
      to: [to],
      subject: say('reminder.subject'),
      text: `${message.text}\n\n${say('reminder.answer', { link })}\n`,
      id: messageId(idempotencyKey),
      at: createdAt,
    });
  };
}
