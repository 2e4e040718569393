import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

export interface ServiceProcess {
  /** The page's address without its path. */
  readonly url: string;
  readonly pid: number;
  /** What was printed so far, the log among it. */
  readonly printed: readonly string[];
  /** What was written to standard error so far. */
  readonly complaints: readonly string[];
  readonly firstRunLink: string | null;
  /** Ends the process with a signal; gives its exit code, null when the signal ended it. */
  end(signal: NodeJS.Signals): Promise<number | null>;
}

export interface StartOptions {
  /** A command that ends by running what follows it, such as one that sets a limit first. */
  readonly through?: readonly string[];
  /** Is given the process as soon as there is one, long before it is ready. */
  readonly onSpawn?: (child: ChildProcess) => void;
  /** What Node is given to run; without the compiled modules that `src/start.ts` keeps, since these directories are new. */
  readonly run?: readonly string[];
}

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

/** Runs the service on a free port over the given data directory, until it is ready. */
export async function startProcess(
  dataDir: string,
  settings: Record<string, string> = {},
  { through = [], onSpawn, run = ['src/main.ts'] }: StartOptions = {},
): Promise<ServiceProcess> {
  const [command = '', ...args] = [...through, process.execPath, ...run];
  const child: ChildProcess = spawn(command, args, {
    cwd: ROOT,
    env: {
      PATH: process.env.PATH ?? '',
      LAPWING_PORT: '0',
      LAPWING_DATA_DIR: dataDir,
      LAPWING_LOG_LEVEL: 'error',
      ...settings,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  onSpawn?.(child);
  const printed: string[] = [];
  const problems: string[] = [];
  child.stderr?.on('data', (chunk: Buffer) => problems.push(chunk.toString()));
  const exited = once(child, 'exit') as Promise<[number | null]>;
  const ready = new Promise<void>((resolve) => {
    createInterface({ input: child.stdout as NodeJS.ReadableStream }).on('line', (line) => {
      printed.push(line);
      if (line === 'Ready.') resolve();
    });
  });
  await Promise.race([
    ready,
    exited.then(([code]) => {
      throw new Error(`the service ended with ${code}: ${problems.join('')}${printed.join('\n')}`);
    }),
  ]);
  const after = (start: string) => printed.find((line) => line.startsWith(start))?.slice(start.length) ?? null;
  return {
    url: new URL(after('Caregiver page: ') ?? '').origin,
    pid: child.pid as number,
    printed,
    complaints: problems,
    firstRunLink: after('First sign-in at the desk (once, within a day): '),
    async end(signal) {
      child.kill(signal);
      const [code] = await exited;
      return code;
    },
  };
}
