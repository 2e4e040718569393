import type { ChildProcess } from 'node:child_process';
import { type ServiceProcess, type StartOptions, startProcess } from '../../src/support/start-process.ts';

/** A service that can be killed at any time and started anew over the same data. */
export interface Instance {
  /** Null while it is not ready. */
  address(): string | null;
  start(more?: Record<string, string>): Promise<void>;
  /** Kills a service that is not ready yet, after so many milliseconds; gives whether it was that early. */
  startAndKill(afterMs: number): Promise<boolean>;
  /** The process that was started last. */
  pid(): number;
  /** Ends it with a signal; gives its exit code. */
  end(signal: NodeJS.Signals): Promise<number | null>;
}

const SETTINGS = {
  LAPWING_DEMO: 'off',
  LAPWING_LOG_LEVEL: 'silent',
  // All come from one address here.
  LAPWING_ADDRESS_LIMIT: '0',
  LAPWING_CONVERSATION_LIMIT: '0',
};

export function instance(dataDir: string, settings: Record<string, string>, options: StartOptions = {}): Instance {
  let service: ServiceProcess | null = null;
  let pid = 0;
  const onSpawn = (child: ChildProcess) => {
    pid = child.pid ?? 0;
  };
  return {
    address: () => service?.url ?? null,
    async start(more = {}) {
      service = await startProcess(dataDir, { ...SETTINGS, ...settings, ...more }, { ...options, onSpawn });
    },
    async startAndKill(afterMs) {
      const kill = (child: ChildProcess) => setTimeout(() => child.kill('SIGKILL'), afterMs);
      const started = startProcess(dataDir, { ...SETTINGS, ...settings }, { ...options, onSpawn: kill });
      return started.then(
        async (ready) => {
          await ready.end('SIGKILL');
          return false;
        },
        () => true,
      );
    },
    pid: () => pid,
    async end(signal) {
      const ending = service;
      service = null;
      return (await ending?.end(signal)) ?? null;
    },
  };
}

/** The addresses of those that are ready. */
export const addressesOf = (instances: readonly Instance[]) => (): readonly string[] =>
  instances.flatMap((one) => one.address() ?? []);
