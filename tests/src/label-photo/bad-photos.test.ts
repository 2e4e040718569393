import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Ocr } from '#src/label-photo/ocr.ts';
import { takePhoto } from '#src/label-photo/photo.ts';
import { MAX_PHOTO_BYTES } from '#src/label-photo/photo-bytes.ts';
import { createPhotoReader } from '#src/label-photo/photo-reader.ts';
import { createEars } from '#src/locales/ears.ts';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';
import { inOrder } from '#src/turns/in-order.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { fakeConversations } from '../support/fake-conversations.ts';
import { type RunningServer, startServer } from '../support/start-server.ts';
import { aBomb } from './a-bomb.ts';

const clock = () => new Date('2026-05-16T09:00:00Z');
const NO_OCR: Ocr = { read: async () => [], close: async () => {} };

let server: RunningServer;
let store: Store;
let unpacking = 0;
let mostUnpacked = 0;

/** The whole way of a photo over HTTP into a real conversation; only the print is read by nobody. */
beforeAll(async () => {
  store = await openStore({ dataDir: ':memory:', clock });
  const newId = () => crypto.randomUUID();
  const { conversations, photos, cases } = store;
  const voice = createVoice(createWords());
  const turns = createTurns({
    conversations,
    cases,
    photos,
    voice,
    ears: createEars(),
    clock,
    newReference: newId,
    newId,
  });
  const reader = createPhotoReader(() => '2026-05-16', {
    ocr: NO_OCR,
    readFields: async () => ({}),
    take: async (bytes) => {
      unpacking += 1;
      mostUnpacked = Math.max(mostUnpacked, unpacking);
      const photo = await takePhoto(bytes);
      unpacking -= 1;
      return photo;
    },
  });
  server = await startServer({
    conversations: { ...fakeConversations(), turns: inOrder(turns, store.alone), store: conversations },
    readPhoto: reader.read,
  });
});
afterAll(async () => {
  await server.stop();
  await store.close();
});

interface Reply {
  readonly say: readonly string[];
  readonly asking: string;
}

/** A family whose label is asked about. */
async function family() {
  const root = `${server.url}/v3/directline/conversations`;
  const opened = await fetch(root, { method: 'POST', body: JSON.stringify({ locale: 'en' }) });
  const { conversationId: id, token } = (await opened.json()) as { conversationId: string; token: string };
  const headers = { Authorization: `Bearer ${token}`, Prefer: 'return=representation' };
  const sent = async (path: string, body: RequestInit['body']): Promise<{ status: number; reply?: Reply }> => {
    const response = await fetch(`${root}/${id}/${path}`, { method: 'POST', headers, ...(body && { body }) });
    const { activities = [] } = (await response.json()) as { activities?: { channelData?: { lapwing?: Reply } }[] };
    const reply = activities.findLast(({ channelData }) => channelData?.lapwing)?.channelData?.lapwing;
    return { status: response.status, ...(reply && { reply }) };
  };
  const says = async (text: string) => (await sent('activities', JSON.stringify({ type: 'message', text }))).reply;
  const sends = (...files: readonly Buffer[]) => {
    const form = new FormData();
    form.append('activity', new Blob([JSON.stringify({ type: 'message', text: '' })]));
    for (const file of files) form.append('file', new Blob([new Uint8Array(file)]), 'label.jpg');
    return sent('upload', form);
  };
  let reply = await says('yes');
  const answers: Record<string, string> = {
    'child-count': '1',
    'riding-mode': 'rear-facing',
    'seat-kind': 'convertible',
  };
  while (reply && reply.asking !== 'label-limits') reply = await says(answers[reply.asking] ?? 'I do not know');
  return { id, says, sends };
}

const picture = (format: 'jpeg' | 'png' | 'gif' = 'jpeg', side = 400) =>
  sharp({ create: { width: side, height: side, channels: 3, background: '#8899aa' } })
    .toFormat(format)
    .toBuffer();

describe('bad input at the question of the label', () => {
  let one: Awaited<ReturnType<typeof family>>;
  beforeAll(async () => {
    one = await family();
  });

  it.each([
    ['text under the name of a photo', () => Buffer.from('no image at all'), /could not open that file as a photo/],
    ['an empty file', () => Buffer.alloc(0), /could not open that file as a photo/],
    ['an animation', () => picture('gif'), /could not open that file as a photo/],
    ['a photo cut off in the middle', async () => (await picture('png')).subarray(0, 300), /could not open that file/],
    ['a decompression bomb', aBomb, /too large for me/],
    ['a photo of something else', () => picture(), /could not read that photo well enough. Please type/],
  ])('is answered calmly, and the question stands: %s', async (what, file, said) => {
    const { status, reply } = await one.sends(await file());
    expect([status, reply?.asking]).toEqual([200, 'label-limits']);
    expect(reply?.say[0]).toMatch(said);
    expect(await store.photos.count(one.id)).toBe(what.endsWith('something else') ? 1 : 0);
  });

  it('is refused unread where it has too many bytes, and the talk goes on', async () => {
    expect((await one.sends(Buffer.alloc(MAX_PHOTO_BYTES + 1, 0xff))).status).toBe(413);
    expect(await store.photos.count(one.id)).toBe(1);
    expect((await one.says('5-40 lb, up to 43 in'))?.asking).not.toBe('label-limits');
  });
});

it('of ten photos in one message three are taken; ten at once are unpacked one at a time and all answered', async () => {
  const { id, sends } = await family();
  const file = await picture('jpeg', 1200);
  expect((await sends(...Array<Buffer>(10).fill(file))).reply?.asking).toBe('label-limits');
  expect(await store.photos.count(id)).toBe(3);
  const answers = await Promise.all(Array.from({ length: 10 }, () => sends(file)));
  expect(answers.map(({ status }) => status)).toEqual(Array(10).fill(200));
  expect(answers.filter(({ reply }) => reply?.say.some((text) => /did not keep/.test(text)))).toHaveLength(3);
  expect(await store.photos.count(id)).toBe(10);
  expect(mostUnpacked).toBe(1);
});
