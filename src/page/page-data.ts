import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { PageLanguage } from './languages.ts';
import type { PageWords } from './page-words.ts';

/** What the page is served with, as JSON in its `#data` block. */
export interface PageData {
  readonly words: PageWords;
  readonly languages: readonly PageLanguage[];
  /** The first turn, so that it is read before the conversation is opened; null where it is not known. */
  readonly greeting: RenderedReply | null;
}
