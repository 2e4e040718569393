import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { LabelFields } from '#dialogs/understanding/label-print.ts';
import type { Grey } from '#src/label-photo/grey.ts';
import type { Ocr } from '#src/label-photo/ocr.ts';
import { takePhoto } from '#src/label-photo/photo.ts';
import { createPhotoReader } from '#src/label-photo/photo-reader.ts';

const made = (confidence: number): LabelFields => ({ manufactureDate: { value: '2021-05', confidence } });
const today = () => '2026-05-16';

const aFile = (shade = 200) =>
  sharp({ create: { width: 300, height: 200, channels: 3, background: { r: shade, g: 140, b: 90 } } })
    .jpeg()
    .toBuffer();

/** What is read, without the threads that straighten and read. */
const reading = (readFields: () => Promise<LabelFields>) => ({
  straighten: async () => BLANK,
  readFields,
  ocr: NO_OCR,
});
const BLANK = { data: new Uint8Array(1), width: 1, height: 1 };
const NO_OCR: Ocr = { read: async () => [], close: async () => {} };

/** Counts how many run at once. */
function counted() {
  let now = 0;
  const most = { atOnce: 0, times: 0 };
  const during = async <T>(work: () => Promise<T>): Promise<T> => {
    now += 1;
    most.times += 1;
    most.atOnce = Math.max(most.atOnce, now);
    try {
      return await work();
    } finally {
      now -= 1;
    }
  };
  return { most, during };
}

describe('ten photos at once', () => {
  it('are unpacked and read one after another, and all are answered', async () => {
    const [unpacked, read] = [counted(), counted()];
    const reader = createPhotoReader(today, {
      take: (bytes) => unpacked.during(() => takePhoto(bytes)),
      ...reading(() => read.during(async () => made(0.9))),
    });
    const files = await Promise.all(Array.from({ length: 10 }, (_, i) => aFile(i * 20)));
    const photos = await Promise.all(files.map((file) => reader.read([file])));
    expect(unpacked.most).toEqual({ atOnce: 1, times: 10 });
    expect(read.most).toEqual({ atOnce: 1, times: 10 });
    for (const { reading: read, pictures } of photos) {
      expect(read).toMatchObject({ kind: 'read', fields: { manufactureDate: { value: '2021-05' } } });
      expect(pictures).toHaveLength(1);
    }
  });

  it('one more than may wait is told so at once, and later ones are taken again', async () => {
    let go = () => {};
    const held = new Promise<void>((resolve) => {
      go = resolve;
    });
    const reader = createPhotoReader(today, {
      take: async (bytes) => {
        await held;
        return takePhoto(bytes);
      },
      ...reading(async () => made(0.9)),
    });
    const file = await aFile();
    const waiting = Array.from({ length: 10 }, () => reader.read([file]));
    expect(await reader.read([file])).toEqual({ reading: { kind: 'problem', problem: 'busy' }, pictures: [] });
    go();
    expect((await Promise.all(waiting)).every(({ reading: { kind } }) => kind === 'read')).toBe(true);
    expect((await reader.read([file])).reading.kind).toBe('read');
  });
});

describe('a photo that nothing is read of', () => {
  it('is asked for in words, and is kept for a person to look at', async () => {
    const reader = createPhotoReader(
      today,
      reading(async () => ({})),
    );
    const { reading: said, pictures } = await reader.read([await aFile()]);
    expect(said).toEqual({ kind: 'problem', problem: 'unreadable' });
    expect(pictures).toMatchObject([{ fields: {} }]);
    expect(await sharp(pictures[0]?.picture).metadata()).toMatchObject({ format: 'jpeg', width: 300 });
    expect(await sharp(pictures[0]?.thumbnail).metadata()).toMatchObject({ format: 'jpeg', width: 300 });
  });

  it('because the time for it is over is not read at all', async () => {
    const asked: number[] = [];
    const parts = (longestMs: number) => ({
      straighten: async () => BLANK,
      readFields: async (_print: Grey, _ocr: Ocr, _today: string, until = Number.POSITIVE_INFINITY) => {
        asked.push(until - performance.now());
        return made(0.9);
      },
      ocr: NO_OCR,
      longestMs,
    });
    const file = await aFile();
    expect((await createPhotoReader(today, parts(0)).read([file])).reading).toMatchObject({ problem: 'unreadable' });
    expect(asked).toEqual([]);
    expect((await createPhotoReader(today, parts(60_000)).read([file])).reading.kind).toBe('read');
    expect(asked).toEqual([expect.toSatisfy((ms: number) => ms > 0 && ms <= 60_000)]);
  });

  it('because reading broke down, or it is no photo, harms none after it', async () => {
    let broken = true;
    const reader = createPhotoReader(
      today,
      reading(async () => {
        if (broken) throw new Error('the thread died');
        return made(0.9);
      }),
    );
    expect((await reader.read([await aFile()])).reading).toEqual({ kind: 'problem', problem: 'unreadable' });
    broken = false;
    expect(await reader.read([Buffer.from('no image')])).toEqual({
      reading: { kind: 'problem', problem: 'no-image' },
      pictures: [],
    });
    expect((await reader.read([await aFile()])).reading.kind).toBe('read');
  });
});

it('of several files in one message the first three are taken, and the surest of each field', async () => {
  const confidences = [0.8, 0.97, 0.9, 1];
  let asked = 0;
  const reader = createPhotoReader(
    today,
    reading(async () => made(confidences[asked++] ?? 0)),
  );
  const file = await aFile();
  const { reading: all, pictures } = await reader.read([file, file, file, file]);
  expect(all).toEqual({ kind: 'read', fields: made(0.97) });
  expect(pictures.map(({ fields }) => fields)).toEqual([made(0.8), made(0.97), made(0.9)]);
});
