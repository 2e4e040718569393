import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import manifest from '../../package.json' with { type: 'json' };
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

/** Linux counts a process's time in hundredths of a second (`USER_HZ`, proc(5)). */
const TICKS_PER_SECOND = 100;

const statOf = (pid: number | string): readonly string[] => {
  const text = readFileSync(`/proc/${pid}/stat`, 'utf8');
  // The command's name stands in brackets and may hold spaces; the third field comes after it.
  return text.slice(text.lastIndexOf(')') + 2).split(' ');
};

const nameOf = (pid: number | string): string => readFileSync(`/proc/${pid}/comm`, 'utf8').trim();

/** Seconds of processor time that a process has used, in the kernel too (proc(5), fields 14 and 15); null without `/proc`. */
export function cpuSeconds(pid: number): number | null {
  if (!existsSync(`/proc/${pid}/stat`)) return null;
  const fields = statOf(pid);
  return (Number(fields[11]) + Number(fields[12])) / TICKS_PER_SECOND;
}

/** Megabytes of memory resident now; null without `/proc`. */
export function residentMB(pid: number): number | null {
  const path = `/proc/${pid}/status`;
  const kB = existsSync(path) ? /^VmRSS:\s+(\d+)/m.exec(readFileSync(path, 'utf8'))?.[1] : undefined;
  return kB === undefined ? null : Number(kB) / 1024;
}

/** All that run now and were started by a process, or by those that it started, with the names of their programs. */
export function descendantsOf(pid: number): readonly { readonly pid: number; readonly name: string }[] {
  const all = readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name) && existsSync(`/proc/${name}/stat`))
    .map((name) => ({ pid: Number(name), parent: Number(statOf(name)[1]), name: nameOf(name) }));
  const below = (parent: number): typeof all =>
    all.filter((each) => each.parent === parent).flatMap((each) => [each, ...below(each.pid)]);
  return below(pid);
}

export interface BotProcess {
  readonly url: string;
  readonly pid: number;
  end(): Promise<void>;
}

/** Runs a module of this folder that prints its address in its first line. */
export async function startBot(module: string): Promise<BotProcess> {
  const file = fileURLToPath(new URL(module, import.meta.url));
  const child = spawn(process.execPath, [file], { stdio: ['ignore', 'pipe', 'inherit'] });
  const exited = once(child, 'exit');
  const [url] = (await once(createInterface({ input: child.stdout }), 'line')) as [string];
  return {
    url,
    pid: child.pid as number,
    end: async () => {
      child.kill('SIGKILL');
      await exited;
    },
  };
}

/** The service as `npm start` runs it, with its usual log and no invented families. */
export function startService(dataDir: string, settings: Record<string, string> = {}): Promise<ServiceProcess> {
  const [, ...run] = manifest.scripts.start.split(' ');
  return startProcess(dataDir, { LAPWING_DEMO: 'off', LAPWING_LOG_LEVEL: 'info', ...settings }, { run });
}
