import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** A data directory that can be filled to its end and emptied again. */
export interface SmallDisk {
  /** `file system`: a real one of its own, which says ENOSPC; `file size`: a limit on any file, which says EFBIG. */
  readonly kind: 'file system' | 'file size';
  readonly through: readonly string[];
  fill(pid: number): void;
  empty(pid: number): void;
}

const MOUNT = 'mount -t tmpfs -o size="$1" none "$2" && shift 2 && exec "$@"';
const MEGABYTES = 24;

/** In a user's own namespace anybody may mount a file system in memory, where the kernel lets users have one. */
const mayMount = (folder: string): boolean =>
  spawnSync('unshare', ['--map-root-user', '--mount', 'sh', '-c', MOUNT, 'sh', '1m', folder, 'true']).status === 0;

const mayLimit = (): boolean => spawnSync('prlimit', ['--version']).status === 0;

/** What this machine can do, the most real first; null: neither. */
export function smallDisk(folder: string): SmallDisk | null {
  mkdirSync(folder, { recursive: true });
  if (mayMount(folder)) {
    const size = `${MEGABYTES}m`;
    const filler = (pid: number) => join(`/proc/${pid}/root`, folder, 'filler');
    return {
      kind: 'file system',
      through: ['unshare', '--map-root-user', '--mount', 'sh', '-c', MOUNT, 'sh', size, folder],
      fill(pid) {
        for (let bytes = 1 << 20; bytes >= 1; bytes >>= 1) {
          try {
            for (;;) writeFileSync(filler(pid), Buffer.alloc(bytes), { flag: 'a' });
          } catch (error) {
            if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
          }
        }
      },
      empty: (pid) => rmSync(filler(pid), { force: true }),
    };
  }
  if (!mayLimit()) return null;
  const limit = (pid: number, bytes: string) => spawnSync('prlimit', ['--pid', String(pid), `--fsize=${bytes}:`]);
  return {
    kind: 'file size',
    through: [],
    // A file's first page may be written anew; nothing may be written behind it.
    fill: (pid) => void limit(pid, '4096'),
    empty: (pid) => void limit(pid, 'unlimited'),
  };
}
