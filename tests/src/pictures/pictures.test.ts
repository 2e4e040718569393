import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import { QUESTIONS } from '#dialogs/questions/order.ts';
import { createPictures } from '#src/pictures/attachments.ts';
import { PICTURE_IDS, picturesFor } from '#src/pictures/picture-ids.ts';
import { loadPictureWords } from '#src/pictures/picture-words.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { fakeConversations } from '../support/fake-conversations.ts';
import { type RunningServer, startServer } from '../support/start-server.ts';

const LOCALES = new URL('../../../locales/', import.meta.url);
const languages = readdirSync(LOCALES).filter((name) =>
  readdirSync(new URL(`${name}/`, LOCALES)).includes('pictures.json'),
);
const drawing = (id: string) => readFileSync(new URL(`../../../src/pictures/${id}.svg`, import.meta.url), 'utf8');

const asked = (asking: string, ids: readonly string[] = []): RenderedReply => ({
  say: ['?'],
  choices: ids.map((id) => ({ id, text: id })),
  many: false,
  asking,
  told: [],
  done: false,
  language: 'en',
});

describe.each(PICTURE_IDS)('the drawing %s', (id) => {
  it('is small, and holds strokes only: no text, no script, nothing from elsewhere', () => {
    const svg = drawing(id);
    expect(Buffer.byteLength(svg)).toBeLessThan(4000);
    expect([...new Set([...svg.matchAll(/<([a-z]+)/gi)].map(([, tag]) => tag))].sort()).toEqual(
      expect.arrayContaining(['path', 'svg']),
    );
    expect(svg).not.toMatch(/<(?!\/?(svg|g|path|circle)\b)|href|url\(|on\w+=/);
  });

  it('is said in words in every language that has words for pictures', () => {
    const words = loadPictureWords();
    const english = words('en', id);
    for (const language of languages.filter((name) => name !== 'en')) {
      expect(words(language, id).length, language).toBeGreaterThan(10);
      expect(words(language, id), language).not.toBe(english);
    }
  });
});

describe('which drawing goes with a question', () => {
  it('is one of the drawings, and the question is one that is asked', () => {
    const shown = QUESTIONS.flatMap(({ id }) => picturesFor(asked(id)));
    expect([...new Set(shown)].sort()).toEqual([...PICTURE_IDS].sort());
  });

  // NHTSA, car seat installation advice: straps at or below the shoulders rear-facing, at or above forward-facing.
  it('follows the way of riding that a checklist is about', () => {
    expect(picturesFor(asked('harness-check', ['straps-above', 'head-near-top']))[0]).toBe('straps-rear-facing');
    expect(picturesFor(asked('harness-check', ['straps-above', 'insert']))[0]).toBe('straps-forward-facing');
    expect(picturesFor(asked('install-check', ['moves', 'too-upright']))).toEqual(['movement', 'recline']);
    expect(picturesFor(asked('install-check', ['moves']))).toEqual(['movement']);
    expect(picturesFor(asked('weight'))).toEqual([]);
  });
});

describe('a drawing on its way', () => {
  let server: RunningServer | null = null;
  afterEach(async () => {
    await server?.stop();
    server = null;
  });

  it('is an attachment with its address and its words in the language of the conversation', () => {
    const pictures = createPictures({ words: loadPictureWords(), base: () => 'https://chat.example.org' });
    expect(pictures({ ...asked('chest-clip'), language: 'es' })).toEqual([
      {
        contentType: 'image/svg+xml',
        contentUrl: 'https://chat.example.org/pictures/chest-clip.svg',
        name: expect.stringMatching(/axilas/),
      },
    ]);
  });

  it('goes through the Bot Framework endpoint too', async () => {
    server = await startServer({
      conversations: fakeConversations(() => ({ say: ['?'], asking: 'attachment' })),
      config: { publicUrl: 'https://chat.example.org' },
    });
    const answer = await fetch(`${server.url}/api/messages`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        type: 'message',
        id: 'a1',
        channelId: 'emulator',
        serviceUrl: 'http://localhost:1',
        deliveryMode: 'expectReplies',
        conversation: { id: 'c1' },
        from: { id: 'u1' },
        text: 'hello',
      }),
    });
    const { activities } = (await answer.json()) as { activities: { attachments?: { contentUrl: string }[] }[] };
    expect(activities.at(-1)?.attachments?.map(({ contentUrl }) => contentUrl)).toEqual([
      'https://chat.example.org/pictures/lower-anchors.svg',
      'https://chat.example.org/pictures/seat-belt.svg',
    ]);
  });

  it('goes with the activity, and the address in it gives the drawing, to be kept for long, and to any page', async () => {
    server = await startServer({ conversations: fakeConversations(() => ({ say: ['?'], asking: 'chest-clip' })) });
    const started = await fetch(`${server.url}/chat/start`, { method: 'POST', body: '{}' });
    const { activities } = (await started.json()) as { activities: { attachments: { contentUrl: string }[] }[] };
    const [attachment] = activities[0]?.attachments ?? [];
    const answer = await fetch(server.url + new URL(attachment?.contentUrl ?? '').pathname);
    expect(answer.status).toBe(200);
    expect(await answer.text()).toBe(drawing('chest-clip'));
    expect(answer.headers.get('content-type')).toMatch(/^image\/svg\+xml/);
    expect(answer.headers.get('cache-control')).toBe('public, max-age=2592000');
    expect(answer.headers.get('cross-origin-resource-policy')).toBe('cross-origin');
    expect(answer.headers.get('content-security-policy')).toMatch(/default-src 'none'/);
    const again = await fetch(answer.url, { headers: { 'If-None-Match': answer.headers.get('etag') ?? '' } });
    expect(again.status).toBe(304);
    expect((await fetch(`${server.url}/pictures/..%2Froutes.ts`)).status).toBe(404);
    expect((await fetch(`${server.url}/pictures/constructor`)).status).toBe(404);
  });
});
