import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { picturesFor } from './picture-ids.ts';
import type { PictureWords } from './picture-words.ts';

/** An attachment as the Bot Framework has it; clients show `name` where they cannot show the picture. */
export interface PictureAttachment {
  readonly contentType: 'image/svg+xml';
  readonly contentUrl: string;
  readonly name: string;
}

export type PicturesOf = (reply: RenderedReply) => readonly PictureAttachment[];

export interface PicturesOptions {
  readonly words: PictureWords;
  /** Where the world reaches the service, without a trailing slash; known once it listens. */
  readonly base: () => string;
}

/** Gives the drawings of a reply as attachments. */
export function createPictures({ words, base }: PicturesOptions): PicturesOf {
  return (reply) =>
    picturesFor(reply).map((id) => ({
      contentType: 'image/svg+xml',
      contentUrl: `${base()}/pictures/${id}.svg`,
      name: words(reply.language, id),
    }));
}
