import type { PhotoReader } from './photo-reader.ts';

/** The reader of photos, loaded with the first one: what unpacks and reads pictures is large, and many services get none. */
export function photoReaderLater(today: () => string): PhotoReader {
  let loading: Promise<PhotoReader> | null = null;
  const loaded = () => {
    loading ??= import('./photo-reader.ts').then(({ createPhotoReader }) => createPhotoReader(today));
    return loading;
  };
  return {
    read: async (files) => (await loaded()).read(files),
    stop: async () => (await loading)?.stop(),
  };
}
