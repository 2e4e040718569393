import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { takePhoto } from '#src/label-photo/photo.ts';
import { MAX_PHOTO_BYTES } from '#src/label-photo/photo-bytes.ts';
import { aBomb } from './a-bomb.ts';

const picture = (width = 600, height = 300) => sharp({ create: { width, height, channels: 3, background: '#8899aa' } });

describe('a photo that is taken in', () => {
  it('keeps nothing of where, when and by which device it was taken', async () => {
    const file = await picture()
      .withExif({
        IFD0: { Make: 'Wigglecam', Model: 'W 7' },
        IFD3: { GPSLatitude: '40/1 26/1 46/1', GPSLatitudeRef: 'N' },
      })
      .jpeg()
      .toBuffer();
    expect(file.includes('Wigglecam')).toBe(true);
    const photo = await takePhoto(file);
    if (!photo.ok) throw new Error(photo.error);
    const { exif, icc, xmp, iptc } = await sharp(photo.jpeg).metadata();
    expect([exif, icc, xmp, iptc]).toEqual([undefined, undefined, undefined, undefined]);
    expect(photo.jpeg.includes('Wigglecam')).toBe(false);
  });

  it('stands upright, as its orientation says', async () => {
    const file = await picture(600, 300).withMetadata({ orientation: 6 }).jpeg().toBuffer();
    expect(await takePhoto(file)).toMatchObject({ ok: true, width: 300, height: 600 });
  });

  it('is no larger than is needed to read it', async () => {
    expect(await takePhoto(await picture(5000, 2500).jpeg().toBuffer())).toMatchObject({ width: 2400, height: 1200 });
  });

  it.each(['png', 'webp', 'avif'] as const)('may be %s', async (format) => {
    expect(await takePhoto(await picture().toFormat(format).toBuffer())).toMatchObject({ ok: true, width: 600 });
  });
});

describe('a file that is no photo to be read', () => {
  it.each([
    ['an empty file', Buffer.alloc(0), 'no-image'],
    ['text under the name of an image', Buffer.from('hello, this is no image'), 'no-image'],
    ['a drawing that is a program', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>'), 'no-image'],
    ['an animation', Buffer.from('GIF89a------------'), 'format'],
    ['a photo in a form that cannot be unpacked here', Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic'), 'format'],
    ['a decompression bomb', aBomb(), 'too-many-pixels'],
    ['too many bytes', Buffer.alloc(MAX_PHOTO_BYTES + 1, 0xff), 'too-many-bytes'],
    ['only the first bytes of a photo', Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]), 'damaged'],
  ])('is refused: %s', async (_what, bytes, error) => {
    expect(await takePhoto(bytes)).toEqual({ ok: false, error });
  });

  it('is refused when it was cut off on its way', async () => {
    const whole = await sharp(Buffer.from(Array.from({ length: 400 * 400 * 3 }, (_, i) => (i * 7919) % 251)), {
      raw: { width: 400, height: 400, channels: 3 },
    })
      .jpeg()
      .toBuffer();
    expect(await takePhoto(whole.subarray(0, whole.length / 2))).toEqual({ ok: false, error: 'damaged' });
  });
});
