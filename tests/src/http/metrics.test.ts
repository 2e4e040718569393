// Names: prometheus.io/docs/practices/naming. The parser beside it holds to the format of the exposition.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningServer, startServer } from '../support/start-server.ts';
import { type Family, readPrometheusText } from './prometheus-text.ts';

describe('the parser', () => {
  it.each([
    ['no end', '# HELP a b\n# TYPE a gauge\na 1'],
    ['no type', '# HELP a b\na 1\n'],
    ['no family', 'a 1\n'],
    ['another family', '# HELP a b\n# TYPE a gauge\nb 1\n'],
    ['a family twice', '# HELP a b\n# TYPE a gauge\na 1\n# HELP a b\n# TYPE a gauge\n'],
    ['a sample twice', '# HELP a b\n# TYPE a gauge\na{x="1"} 1\na{x="1"} 2\n'],
    ['a quote in a label', '# HELP a b\n# TYPE a gauge\na{x="1"2"} 1\n'],
    ['a word for a number', '# HELP a b\n# TYPE a gauge\na one\n'],
    ['a dash in a name', '# HELP a-b b\n# TYPE a-b gauge\n'],
    [
      'a bucket that shrinks',
      '# HELP a b\n# TYPE a histogram\na_bucket{le="1"} 2\na_bucket{le="+Inf"} 1\na_sum 1\na_count 1\n',
    ],
  ])('refuses %s', (_what, text) => {
    expect(() => readPrometheusText(text)).toThrow();
  });
});

describe('what /metrics answers', () => {
  let server: RunningServer;
  let families: readonly Family[];
  let type: string | null;
  beforeAll(async () => {
    server = await startServer();
    await fetch(`${server.url}/v3/directline/conversations`, { method: 'POST', body: '{}' });
    await fetch(`${server.url}/no%22such{page}\\n`);
    const response = await fetch(`${server.url}/metrics`);
    type = response.headers.get('content-type');
    families = readPrometheusText(await response.text());
  });
  afterAll(() => server.stop());

  const family = (name: string) => families.find((one) => one.name === name);

  it('is the text format, all of it, under its media type', () => {
    expect(type).toMatch(/^text\/plain; version=0\.0\.4; charset=utf-8$/);
    expect(families.length).toBeGreaterThan(20);
  });

  it('counts requests, turns and what is handed on', () => {
    expect(family('lapwing_turns_total')?.samples).toContainEqual(
      expect.objectContaining({ labels: { channel: 'direct-line', outcome: 'answered' }, value: 1 }),
    );
    expect(family('lapwing_outbox_entries')?.samples).toContainEqual({
      name: 'lapwing_outbox_entries',
      labels: { destination: 'mail', state: 'failed' },
      value: 2,
    });
    const routes = family('http_request_duration_seconds')?.samples.map(({ labels }) => labels.route) ?? [];
    expect(new Set(routes)).toEqual(new Set(['/v3/directline/conversations', 'none']));
  });

  it('names everything as is the custom: base units, totals for counters, a help text', () => {
    for (const { name, type: kind, help } of families) {
      expect(help, name).not.toBe('');
      expect(name, name).toMatch(/^[a-z][a-z0-9_]*$/);
      expect(name, name).not.toMatch(/_(?:ms|milliseconds|minutes|kb|mb|count)$/);
      if (kind === 'counter') expect(name).toMatch(/_total$/);
      if (kind === 'gauge' && name.startsWith('lapwing_')) expect(name).not.toMatch(/_total$/);
      if (kind === 'histogram') expect(name).toMatch(/_(?:seconds|bytes)$/);
    }
  });
});
