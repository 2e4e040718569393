import { expect, it, onTestFinished } from 'vitest';
import { createEars } from '#src/locales/ears.ts';
import { openStore } from '#src/store/open-store.ts';
import { MOST_PHOTOS } from '#src/store/photos.ts';
import { createTurns } from '#src/turns/turns.ts';
import type { SentPhoto } from '#src/turns/turns-types.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { aPhoto } from '../../factories/turn.ts';

const ears = createEars();
const voice = createVoice(createWords());
const clock = () => new Date('2026-05-16T09:00:00Z');
const { fields, ...picture } = aPhoto();
const READ: SentPhoto = { reading: { kind: 'read', fields }, pictures: [{ ...picture, fields }] };

async function family() {
  const store = await openStore({ dataDir: ':memory:', clock });
  onTestFinished(() => store.close());
  let ids = 0;
  const { conversations, photos } = store;
  const newId = () => `id-${++ids}`;
  const turns = createTurns({ conversations, photos, voice, ears, clock, newReference: newId, newId });
  let sent = 0;
  const opening = { conversationId: 'k1', channel: 'direct-line', language: 'en' } as const;
  const says = async (text: string) => turns.handle({ ...opening, activityId: `a${++sent}`, text });
  const sends = async (photo = READ, activityId = `a${++sent}`) =>
    (await turns.handle({ ...opening, activityId, text: 'photo.jpg', photo })).reply;
  return { store, turns, says, sends };
}

/** Says the same thing until a question stands. */
async function until({ says }: Awaited<ReturnType<typeof family>>, asking: string): Promise<void> {
  const answers: Record<string, string> = {
    'riding-mode': 'rear-facing',
    'seat-kind': 'convertible',
    'child-count': '1',
  };
  let reply = (await says('yes')).reply;
  for (let turns = 0; turns < 30 && reply.asking !== asking; turns++)
    ({ reply } = await says(
      answers[reply.asking ?? ''] ?? (reply.choices.some(({ id }) => id === 'unsure') ? "I don't know" : 'yes'),
    ));
  expect(reply.asking).toBe(asking);
}

it('a photo before consent is not kept, and one after it is, at whatever question it comes', async () => {
  const { store, says, sends } = await family();
  expect((await sends()).say[0]).toMatch(/did not keep that photo/);
  expect(await store.photos.count('k1')).toBe(0);
  await says('yes');
  expect((await sends()).say[0]).toMatch(/keep this photo for your technician/);
  expect(await store.photos.of('id-1')).toMatchObject([{ childId: null, fields }]);
});

it('a photo at the label belongs to the child whose seat is asked about, and is kept once however often it comes', async () => {
  const self = await family();
  await until(self, 'label-limits');
  const first = await self.sends(READ, 'same');
  expect(first.asking).toBe('confirm');
  expect(await self.sends(READ, 'same')).toEqual(first);
  expect(await self.store.photos.of('id-1')).toMatchObject([{ childId: 'c1', receivedAt: '2026-05-16T09:00:00.000Z' }]);
});

it('a photo that nothing could be read of is kept too; a file that is none is not', async () => {
  const self = await family();
  await until(self, 'label-limits');
  const unreadable = { kind: 'problem', problem: 'unreadable' } as const;
  expect((await self.sends({ ...READ, reading: unreadable })).say[0]).toMatch(/type what the label says/);
  await self.sends({ reading: { kind: 'problem', problem: 'no-image' }, pictures: [] });
  expect(await self.store.photos.count('k1')).toBe(1);
});

it('no family has more photos than there is room for, and is told so', async () => {
  const { store, says, sends } = await family();
  await says('yes');
  const three = { ...READ, pictures: Array.from({ length: 3 }, () => ({ ...picture, fields })) };
  for (let i = 0; i < 3; i++) expect((await sends(three)).say[0]).toMatch(/keep this photo/);
  expect((await sends(three)).say[0]).toMatch(/did not keep/);
  expect(await store.photos.count('k1')).toBe(MOST_PHOTOS);
  expect((await sends()).say[0]).toMatch(/did not keep/);
  expect(await store.photos.count('k1')).toBe(MOST_PHOTOS);
});

it('photos go when the family starts over or has its data deleted', async () => {
  for (const words of ['start over', 'delete my data']) {
    const { store, says, sends } = await family();
    await says('yes');
    await says('1');
    await sends();
    expect(await store.photos.count('k1')).toBe(1);
    await says(words);
    expect(await store.photos.count('k1')).toBe(1);
    await says('yes');
    expect(await store.photos.count('k1'), words).toBe(0);
  }
});
