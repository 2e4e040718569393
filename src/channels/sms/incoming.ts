import { z } from 'zod';
import { cleanText } from '#src/channels/clean-text.ts';
import type { Keyword } from './keywords.ts';

const number = z.string().regex(/^(?:\+\d{5,15}|\d{3,8}|[A-Za-z][\w-]{0,31}:\+?[\w@.-]{3,64})$/);

const schema = z.object({
  MessageSid: z.string().regex(/^[\w-]{1,64}$/),
  From: number,
  To: number,
  Body: z.string().max(20_000).default(''),
  NumMedia: z.coerce.number().int().min(0).max(100).catch(0),
  OptOutType: z.enum(['STOP', 'START', 'HELP']).optional().catch(undefined),
});

/** One text message as it came in. */
export interface IncomingText {
  readonly messageId: string;
  readonly from: string;
  readonly to: string;
  readonly text: string;
  readonly pictures: number;
  /** Where its pictures lie, as the vendor says. */
  readonly pictureUrls: readonly string[];
  /** The carrier's side has read it as one of its words, and has answered it. */
  readonly answeredAs: Keyword | null;
}

const pictureUrls = (form: URLSearchParams, count: number): readonly string[] =>
  Array.from({ length: count }, (_, i) =>
    /^image\//.test(form.get(`MediaContentType${i}`) ?? 'image/') ? form.get(`MediaUrl${i}`) : null,
  ).filter((url) => url !== null);

/** Reads the form of a message; null where something that is needed is not there. */
export function readIncoming(form: URLSearchParams): IncomingText | null {
  const { data } = schema.safeParse(Object.fromEntries(form));
  if (!data) return null;
  return {
    messageId: data.MessageSid,
    from: data.From,
    to: data.To,
    text: cleanText(data.Body),
    pictures: data.NumMedia,
    pictureUrls: pictureUrls(form, data.NumMedia),
    answeredAs: (data.OptOutType?.toLowerCase() as Keyword | undefined) ?? null,
  };
}
