import type { OutgoingActivity } from '#src/channels/direct-line/activities.ts';
import type { Feed } from '#src/channels/direct-line/feed.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { PicturesOf } from './attachments.ts';

/** The same feed with the drawings of the bot's questions attached. */
export function illustrated(feed: Feed, picturesOf: PicturesOf): Feed {
  const withPictures = (activity: OutgoingActivity): OutgoingActivity => {
    const ours = (activity.channelData as { lapwing?: { from: string } } | undefined)?.lapwing;
    const attachments = ours?.from === 'bot' ? picturesOf(ours as unknown as RenderedReply) : [];
    return attachments.length === 0 ? activity : { ...activity, attachments, attachmentLayout: 'list' };
  };
  return {
    ...feed,
    async read(context, watermark) {
      const set = await feed.read(context, watermark);
      return set && { ...set, activities: set.activities.map(withPictures) };
    },
  };
}
