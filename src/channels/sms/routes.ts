import type { Request, Response, Server } from 'restify';
import { MAX_TEXT_LENGTH } from '#src/channels/clean-text.ts';
import { baseAddress } from '#src/channels/direct-line/conversations.ts';
import { eventId } from '#src/channels/opening.ts';
import type { RemotePhotos } from '#src/channels/remote-photos.ts';
import type { Clock } from '#src/clock.ts';
import type { SmsConfig } from '#src/config-channels.ts';
import { readBytes } from '#src/http/read-body.ts';
import { queryValue, send, sendError } from '#src/http/respond.ts';
import { post } from '#src/http/routes.ts';
import { TooManyRequestsError } from '#src/protection/rate-limits.ts';
import type { TokenBuckets } from '#src/protection/token-buckets.ts';
import type { OptOutStore } from '#src/store/opt-outs.ts';
import type { OutboxStore } from '#src/store/outbox.ts';
import type { ConversationStore, StoredConversation } from '#src/store/store.ts';
import { tellCaregiver } from '#src/turns/caregiver-message.ts';
import type { Turns } from '#src/turns/turns-types.ts';
import type { Words } from '#src/words/words.ts';
import type { ConversationIds } from './conversation-ids.ts';
import { type IncomingText, readIncoming } from './incoming.ts';
import { createKeywords } from './keywords.ts';
import { SIGNATURE_HEADER, signatureIsRight } from './signature.ts';
import { partsOf, smsAddress } from './write-to.ts';

const MAX_FORM_BYTES = 64_000;

export interface SmsDeps {
  readonly config: SmsConfig;
  readonly publicUrl: string | null;
  readonly turns: Turns;
  readonly conversations: ConversationStore;
  readonly outbox: Pick<OutboxStore, 'add'>;
  readonly optOuts: OptOutStore;
  readonly ids: ConversationIds;
  readonly words: Words;
  /** What the channel itself has to say, in the language asked for. */
  readonly say: { filesLater(language: string): string; tooLong(language: string): string };
  /** Whether a message tells of an emergency. */
  readonly emergency: (text: string) => boolean;
  /** Limits the messages of one conversation; null: no limit. */
  readonly limits: TokenBuckets | null;
  readonly clock: Clock;
  /** Fetches and reads the pictures of a message; absent: they are not read. */
  readonly photos?: RemotePhotos;
}

/** What is sent at once for a word that carriers ask for; `goesOn`: the message is for the conversation too. */
interface Answered {
  readonly say: readonly string[];
  readonly goesOn: boolean;
}

const pictureId = ({ messageId }: IncomingText): string => `p:${messageId}`;

type Opening = Parameters<Turns['open']>[0];

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;' };
const escapeXml = (text: string): string => text.replace(/[&<>]/g, (mark) => ENTITIES[mark] ?? '');

/** The answer to the vendor: what is to be sent back at once; the bot's own lines come by the outbox. */
function sendMessages(res: Response, messages: readonly string[]): void {
  const body = messages.map((text) => `<Message>${escapeXml(text)}</Message>`).join('');
  send(res, 200, 'text/xml; charset=utf-8', `<?xml version="1.0" encoding="UTF-8"?><Response>${body}</Response>`);
}

/** `/api/sms`: text messages, posted as signed forms. */
export function registerSms(server: Server, deps: SmsDeps): void {
  const { config, publicUrl, turns, conversations, outbox, optOuts, ids, words, say, emergency, limits, clock } = deps;
  const keywordIn = createKeywords(words);

  /** The conversation of two numbers, also of one that began under a key that was replaced. */
  async function find(known: readonly string[]): Promise<StoredConversation | null> {
    for (const id of known) {
      const conversation = await conversations.load(id);
      if (conversation) return conversation;
    }
    return null;
  }

  async function stop(text: IncomingText, id: string, said: string): Promise<void> {
    const at = clock().toISOString();
    await optOuts.add(id, at);
    // So that a technician sees why nothing arrives any more.
    const heard = { id: `c:${text.messageId}`, from: 'caregiver', text: text.text } as const;
    await conversations.note(id, [heard, { id: `k:${text.messageId}`, from: 'service', text: said }], at);
  }

  /** Answers a word that stops, starts or explains the messages. */
  async function answerKeyword(
    text: IncomingText,
    known: readonly [string, ...string[]],
    conversation: StoredConversation | null,
    address: string,
  ): Promise<Answered> {
    const stopped = await optOuts.has(known);
    const heard = keywordIn(text.text);
    const keyword = text.answeredAs ?? heard?.keyword;
    const texts = words.say(conversation?.language ?? heard?.language ?? 'en', 'sms');
    // Some carriers take a bare yes for it.
    if (stopped && (keyword === 'start' || /^\s*yes\W*$/i.test(text.text))) {
      await optOuts.remove(known);
      const last = conversation && (await conversations.lastReply(conversation.id));
      return { say: [texts('started'), ...(last ? partsOf('', last.reply) : [])], goesOn: false };
    }
    if (keyword === 'stop') {
      await stop(text, conversation?.id ?? known[0], texts('stopped'));
      return { say: [texts('stopped')], goesOn: false };
    }
    // The conversation has its own help for the question on the screen, but hears no "info".
    if (keyword === 'help')
      return {
        say: [texts('help', { address })],
        goesOn: conversation !== null && !stopped && !/info/i.test(text.text),
      };
    return { say: [], goesOn: !stopped };
  }

  /** Greets, and says what carriers ask of a first message; neither stands before the answer to an emergency. */
  async function open(opening: Opening, urgent: boolean, address: string): Promise<void> {
    if (urgent) {
      const { repliesByOutbox: _sent, ...silently } = opening;
      await turns.open(silently);
      return;
    }
    await turns.open(opening);
    const { conversationId } = opening;
    const notice = tellCaregiver({ conversationId, text: words.say('en', 'sms')('help', { address }) }, 'first');
    await outbox.add(conversationId, notice, clock().toISOString());
  }

  /** The pictures of a message, fetched and read once; null where they cannot be. */
  async function photoOf(text: IncomingText, conversationId: string) {
    if (await conversations.replyTo(conversationId, pictureId(text))) return {};
    const photo = await deps.photos?.(text.pictureUrls);
    return photo ? { photo } : null;
  }

  async function answer(text: IncomingText, req: Request): Promise<readonly string[]> {
    const known = ids(text.from, text.to);
    const conversation = await find(known);
    const conversationId = conversation?.id ?? known[0];
    const wait = limits?.take(conversationId) ?? 0;
    if (wait > 0) throw new TooManyRequestsError(wait);
    const at = baseAddress(req, publicUrl);
    const { say: own, goesOn } = await answerKeyword(text, known, conversation, at);
    const said = text.answeredAs ? [] : own;
    if (!goesOn) return said;
    const language = conversation?.language ?? 'en';
    if (text.text.length > MAX_TEXT_LENGTH) return [say.tooLong(language)];
    const event = eventId(queryValue(req, 'event'));
    const opening = {
      conversationId,
      channel: 'sms',
      channelAddress: smsAddress(text.from, text.to),
      repliesByOutbox: true,
      ...(event && { eventId: event }),
    } as const;
    if (!conversation) await open(opening, emergency(text.text), at);
    const photo = text.pictures > 0 ? await photoOf(text, conversationId) : null;
    if (text.pictures > 0 && photo === null) {
      const message = tellCaregiver({ conversationId, text: say.filesLater(language) }, `picture:${text.messageId}`);
      await outbox.add(conversationId, message, clock().toISOString());
    }
    if (photo) await turns.handle({ ...opening, activityId: pictureId(text), text: '📎', ...photo });
    if (text.text.trim() === '') return said;
    const { reply } = await turns.handle({
      ...opening,
      activityId: `c:${text.messageId}`,
      text: text.text,
      withGreeting: !conversation,
    });
    // With the conversation its address and its outbox are gone, so the goodbye leaves with this answer.
    const deleted = (await conversations.load(conversationId))?.state === 'deleted';
    return deleted ? [...said, ...partsOf('', reply)] : said;
  }

  post(server, '/api/sms', async (req, res) => {
    const body = await readBytes(req, MAX_FORM_BYTES);
    if (!body.ok) return sendError(res, body.status, body.code, body.message);
    const form = new URLSearchParams(body.value.toString('utf8'));
    const address = `${baseAddress(req, publicUrl)}${req.url ?? ''}`;
    const signature = String(req.headers[SIGNATURE_HEADER] ?? '');
    if (!signatureIsRight(config.token, signature, address, form))
      return sendError(res, 403, 'Forbidden', 'The signature of the request is missing or not right.');
    const text = readIncoming(form);
    if (!text) return sendError(res, 400, 'BadArgument', 'This is not a text message.');
    sendMessages(res, await answer(text, req));
  });
}
