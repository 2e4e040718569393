import { createServer, type IncomingMessage, type RequestListener } from 'node:http';
import type { AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { createPhotoGate } from '#src/channels/photo-gate.ts';
import { createRemotePhotos, type MediaSource } from '#src/channels/remote-photos.ts';
import { MAX_PHOTO_BYTES } from '#src/label-photo/photo-bytes.ts';

async function aServer(listener: RequestListener) {
  const asked: { path: string; authorization: string | undefined }[] = [];
  const server = createServer((req: IncomingMessage, res) => {
    asked.push({ path: req.url ?? '', authorization: req.headers.authorization });
    listener(req as never, res as never);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  onTestFinished(() => {
    server.closeAllConnections();
    server.close();
  });
  return { origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, asked };
}

const pictures = () => aServer((req, res) => res.end(`picture ${req.url}`));

function photosFrom(source: MediaSource, longestMs?: number) {
  const files: string[] = [];
  const read = async (buffers: readonly Buffer[]) => {
    files.push(...buffers.map(String));
    return { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [] } as const;
  };
  return { files, photos: createRemotePhotos(source, read, createPhotoGate(), longestMs) };
}

describe('a photo that a message names by address', () => {
  it('is fetched from the addresses that are set, three of a message at most', async () => {
    const { origin } = await pictures();
    const { files, photos } = photosFrom({ origins: [origin] });
    expect(await photos(['a', 'b', 'c', 'd'].map((name) => `${origin}/${name}`))).not.toBeNull();
    expect(files).toEqual(['picture /a', 'picture /b', 'picture /c']);
  });

  it('is fetched from nowhere else, whatever the address looks like', async () => {
    const [there, other] = [await pictures(), await pictures()];
    const { files, photos } = photosFrom({ origins: [there.origin] });
    const { host } = new URL(there.origin);
    for (const url of [
      `${other.origin}/x`,
      other.origin.replace('http', 'https'),
      `http://${host}@${new URL(other.origin).host}/x`,
      `http://user:word@${host}/x`,
      `http://localhost:${new URL(there.origin).port}/x`,
      'http://169.254.169.254/latest/meta-data',
      'file:///etc/passwd',
      'data:image/png;base64,AAAA',
      '//x',
      '',
    ])
      expect(await photos([url]), url).toBeNull();
    expect([there.asked, other.asked, files]).toEqual([[], [], []]);
  });

  it('follows where it is sent on to only as far as that is set too, and shows the account to its own address alone', async () => {
    const outside = await pictures();
    const store = await pictures();
    const vendor = await aServer((req, res) => {
      const to = req.url === '/out' ? outside.origin : req.url === '/round' ? '/round' : `${store.origin}/file`;
      res.writeHead(307, { Location: to }).end();
    });
    const authorization = { origin: vendor.origin, header: 'Basic abc' };
    const { files, photos } = photosFrom({ origins: [vendor.origin, store.origin], authorization });
    expect(await photos([`${vendor.origin}/in`])).not.toBeNull();
    expect(files).toEqual(['picture /file']);
    expect(vendor.asked).toEqual([{ path: '/in', authorization: 'Basic abc' }]);
    expect(store.asked).toEqual([{ path: '/file', authorization: undefined }]);
    expect(await photos([`${vendor.origin}/out`])).toBeNull();
    expect(outside.asked).toEqual([]);
    expect(await photos([`${vendor.origin}/round`])).toBeNull();
    expect(vendor.asked.filter(({ path }) => path === '/round')).toHaveLength(3);
  });

  it.each<[string, RequestListener]>([
    [
      'that says it is too large',
      (_req, res) => res.writeHead(200, { 'Content-Length': MAX_PHOTO_BYTES + 1 }).write('x'),
    ],
    [
      'that never ends',
      (_req, res) => {
        const pour = (): void => {
          while (!res.destroyed && res.write(Buffer.alloc(1_000_000)));
          if (!res.destroyed) res.once('drain', pour);
        };
        pour();
      },
    ],
    ['that is not there', (_req, res) => res.writeHead(404).end('no')],
    ['that is cut off', (req) => req.socket.destroy()],
  ])('is given up where it is one %s', async (_what, listener) => {
    const { origin } = await aServer(listener);
    const { files, photos } = photosFrom({ origins: [origin] });
    expect(await photos([`${origin}/x`])).toBeNull();
    expect(files).toEqual([]);
  });

  it('is given up where it takes too long', async () => {
    const { origin } = await aServer(() => {});
    const { photos } = photosFrom({ origins: [origin] }, 50);
    expect(await photos([`${origin}/x`])).toBeNull();
  });
});
