import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readConfig } from '#src/config.ts';

const ROOT = new URL('../../', import.meta.url);
const readme = readFileSync(new URL('README.md', ROOT), 'utf8');
const block = (language: string): string[] =>
  (new RegExp(`\`\`\`${language}\\n([\\s\\S]*?)\`\`\``).exec(readme)?.[1] ?? '').trim().split('\n');
const here = (path: string): boolean => existsSync(new URL(path, ROOT));

const environment = (text: string): Record<string, string> =>
  Object.fromEntries(text.split(' ').map((pair) => pair.split('=') as [string, string]));

describe('the systemd unit of the README', () => {
  const lines = block('ini');
  const all = (key: string): string[] =>
    lines.filter((line) => line.startsWith(`${key}=`)).map((line) => line.slice(key.length + 1));

  it('has its sections, and nothing but sections and settings', () => {
    expect(lines.filter((line) => line.startsWith('['))).toEqual(['[Unit]', '[Service]', '[Install]']);
    for (const line of lines.filter(Boolean)) expect(line).toMatch(/^(?:\[\w+\]|[A-Z]\w+=.*)$/);
    for (const key of ['Description', 'User', 'WorkingDirectory', 'ExecStart', 'Restart', 'StateDirectory', 'WantedBy'])
      expect(all(key), key).toHaveLength(1);
  });

  it('starts what there is, as nobody special', () => {
    const [root = ''] = all('WorkingDirectory');
    const [program = '', script = ''] = (all('ExecStart')[0] ?? '').split(' ');
    expect(here(program.slice(root.length + 1))).toBe(true);
    expect(here(script)).toBe(true);
    expect(all('User')).not.toEqual(['root']);
    expect(all('NoNewPrivileges')).toEqual(['yes']);
  });

  it('sets only what is a setting, keeps its data where it may write, and gives time to drain', () => {
    const set = environment(all('Environment')[0] ?? '');
    expect(readConfig(set)).toMatchObject({ ok: true, config: { demo: false } });
    expect(set.LAPWING_DATA_DIR).toBe(`/var/lib/${all('StateDirectory')[0]}`);
    expect(Number(all('TimeoutStopSec')[0])).toBeGreaterThan(10);
  });
});

describe('the container file of the README', () => {
  const lines = block('dockerfile');
  const all = (word: string): string[] =>
    lines.filter((line) => line.startsWith(`${word} `)).map((line) => line.slice(word.length + 1));

  it('has only instructions that there are, from an image of the pinned Node', () => {
    for (const line of lines)
      expect(line).toMatch(/^(?:FROM|WORKDIR|COPY|RUN|ENV|USER|VOLUME|EXPOSE|HEALTHCHECK|CMD) /);
    const { optionalDependencies } = JSON.parse(readFileSync(new URL('package.json', ROOT), 'utf8'));
    expect(all('FROM')).toEqual([`node:${optionalDependencies.node.split('.')[0]}-slim`]);
  });

  it('takes along what there is, and every folder that the service imports from', () => {
    const taken = all('COPY').flatMap((line) => line.split(' ').slice(0, -1));
    for (const path of taken) expect(here(path), path).toBe(true);
    const { imports } = JSON.parse(readFileSync(new URL('package.json', ROOT), 'utf8'));
    for (const folder of Object.values(imports as Record<string, string>))
      expect(taken).toContain(folder.split('/')[1]);
  });

  it('starts the service as a user of its own, with settings that there are, and looks at its health where it listens', () => {
    const set = environment(all('ENV')[0] ?? '');
    const read = readConfig(set);
    expect(read).toMatchObject({ ok: true, config: { host: '0.0.0.0' } });
    const command = JSON.parse(all('CMD')[0] ?? '[]') as string[];
    expect(command[0]).toBe('node');
    expect(here(command[1] ?? '')).toBe(true);
    expect(lines.findIndex((line) => line.startsWith('USER '))).toBeLessThan(
      lines.findIndex((line) => line.startsWith('CMD')),
    );
    const port = read.ok ? String(read.config.port) : '';
    expect(all('EXPOSE')).toEqual([port]);
    expect(all('HEALTHCHECK')[0]).toContain(`127.0.0.1:${port}/healthz`);
    expect(() => JSON.parse((all('HEALTHCHECK')[0] ?? '').replace('CMD ', ''))).not.toThrow();
  });
});
