import type { NewPhoto } from '#src/store/photos.ts';
import type { TurnCommit } from '#src/store/store.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';

export const aReply = (text: string): RenderedReply => ({
  say: [text],
  choices: [{ id: 'yes', text: 'Yes' }],
  many: false,
  asking: 'weight',
  told: [],
  done: false,
  language: 'en',
});

/** A committed turn of conversation `k1`; a test overrides only what it is about. */
export const aTurn = (over: Partial<TurnCommit> = {}): TurnCommit => ({
  conversationId: 'k1',
  channel: 'direct-line',
  eventId: null,
  language: 'en',
  state: 'talking',
  expectedVersion: 0,
  snapshot: { version: 1, value: 'children' },
  incoming: { activityId: 'a1', text: 'hello' },
  reply: aReply('How much does your child weigh?'),
  replyId: 'r1',
  summary: null,
  earlier: [],
  effects: [],
  at: '2026-05-16T09:30:00.000Z',
  ...over,
});

/** A photo to be kept; its bytes stand for a picture that nothing here looks at. */
export const aPhoto = (over: Partial<NewPhoto> = {}): NewPhoto => ({
  id: 'p1',
  childId: 'c1',
  picture: Buffer.from('the whole quillwort picture'),
  thumbnail: Buffer.from('the small quillwort picture'),
  fields: { manufactureDate: { value: '2021-05', confidence: 0.93 } },
  ...over,
});
