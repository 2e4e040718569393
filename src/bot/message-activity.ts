import { type Activity, ActivityTypes, InputHints } from 'botbuilder';
import { replyText } from '#src/channels/reply-text.ts';
import type { PicturesOf } from '#src/pictures/attachments.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/** The bot's words with their choices as suggested actions. */
export function messageActivity(reply: RenderedReply, attachments: ReturnType<PicturesOf>): Partial<Activity> {
  return {
    type: ActivityTypes.Message,
    text: replyText(reply),
    textFormat: 'plain',
    locale: reply.language,
    inputHint: reply.done ? InputHints.AcceptingInput : InputHints.ExpectingInput,
    ...(reply.choices.length > 0 && {
      suggestedActions: {
        to: [],
        actions: reply.choices.map(({ text }) => ({ type: 'imBack', title: text, value: text })),
      },
    }),
    ...(attachments.length > 0 && { attachments: [...attachments] }),
    channelData: { lapwing: reply },
  };
}
