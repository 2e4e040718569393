/** One line with a value. */
export interface Sample {
  readonly name: string;
  readonly labels: Readonly<Record<string, string>>;
  readonly value: number;
}

export interface Family {
  readonly name: string;
  readonly help: string;
  readonly type: string;
  readonly samples: readonly Sample[];
}

const NAME = /^[a-zA-Z_:][a-zA-Z0-9_:]*$/;
const LABEL = /([a-zA-Z_][a-zA-Z0-9_]*)="((?:[^"\\\n]|\\["\\n])*)"(,|$)/y;
const SAMPLE = /^([a-zA-Z_:][a-zA-Z0-9_:]*)(?:\{(.*)\})? (\S+)(?: (-?\d+))?$/;
const SUFFIXES: Readonly<Record<string, readonly string[]>> = {
  histogram: ['_bucket', '_sum', '_count'],
  summary: ['', '_sum', '_count'],
  counter: [''],
  gauge: [''],
  untyped: [''],
};

function refuse(line: string, why: string): never {
  throw new Error(`${why}: ${line}`);
}

function labelsIn(text: string, line: string): Record<string, string> {
  const labels: Record<string, string> = {};
  LABEL.lastIndex = 0;
  while (LABEL.lastIndex < text.length) {
    const match = LABEL.exec(text) ?? refuse(line, 'labels are malformed');
    const [, name = '', value = ''] = match;
    if (name in labels) refuse(line, 'a label comes twice');
    labels[name] = value.replace(/\\(.)/g, (_, mark: string) => (mark === 'n' ? '\n' : mark));
  }
  return labels;
}

function valueIn(text: string, line: string): number {
  if (text === '+Inf') return Number.POSITIVE_INFINITY;
  if (text === '-Inf') return Number.NEGATIVE_INFINITY;
  if (text === 'NaN' || text === 'Nan') return Number.NaN;
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(text)) refuse(line, 'the value is no number');
  return Number(text);
}

/**
 * Reads the Prometheus text format, version 0.0.4, and refuses all that the format does not allow
 * (prometheus.io/docs/instrumenting/exposition_formats): HELP and TYPE once and first, each family in one group, no
 * sample twice, buckets that grow, `+Inf` as the count.
 */
export function readPrometheusText(text: string): readonly Family[] {
  if (!text.endsWith('\n')) refuse(text.slice(-20), 'the last line has no end');
  const families = new Map<string, { name: string; help: string; type: string; samples: Sample[] }>();
  let current: { name: string; help: string; type: string; samples: Sample[] } | null = null;
  for (const line of text.slice(0, -1).split('\n')) {
    if (line === '') continue;
    const told = /^# (HELP|TYPE) (\S+) (.*)$/.exec(line);
    if (told) {
      const [, what, name = '', rest = ''] = told;
      if (!NAME.test(name)) refuse(line, 'the name is malformed');
      if (what === 'HELP') {
        if (families.has(name)) refuse(line, 'a family comes twice');
        current = { name, help: rest, type: '', samples: [] };
        families.set(name, current);
      } else {
        if (current?.name !== name || current.type !== '' || current.samples.length > 0)
          refuse(line, 'TYPE is misplaced');
        if (!(rest in SUFFIXES)) refuse(line, 'there is no such type');
        current.type = rest;
      }
      continue;
    }
    if (line.startsWith('#')) continue;
    const [, name = '', labels = '', value = ''] = SAMPLE.exec(line) ?? refuse(line, 'this is no sample');
    if (!current || current.type === '') refuse(line, 'a sample without its family');
    const suffix = name.startsWith(current.name) ? name.slice(current.name.length) : null;
    if (suffix === null || !SUFFIXES[current.type]?.includes(suffix)) refuse(line, 'a sample of another family');
    const sample = { name, labels: labelsIn(labels, line), value: valueIn(value, line) };
    const same = current.samples.some(
      (one) => one.name === name && JSON.stringify(one.labels) === JSON.stringify(sample.labels),
    );
    if (same) refuse(line, 'a sample comes twice');
    current.samples.push(sample);
  }
  for (const family of families.values()) if (family.type === 'histogram') checkHistogram(family);
  return [...families.values()];
}

function checkHistogram({ name, samples }: Family): void {
  const groups = new Map<string, Sample[]>();
  for (const sample of samples) {
    const { le: _bound, ...rest } = sample.labels;
    const key = JSON.stringify(Object.entries(rest).sort());
    groups.set(key, [...(groups.get(key) ?? []), sample]);
  }
  for (const group of groups.values()) {
    const buckets = group.filter((sample) => sample.name === `${name}_bucket`);
    const bounds = buckets.map(({ labels }) => valueIn(labels.le ?? '', name));
    const counts = buckets.map(({ value }) => value);
    const grows = (list: readonly number[]) => list.every((value, i) => i === 0 || value >= (list[i - 1] ?? 0));
    if (!grows(bounds) || !grows(counts)) refuse(name, 'buckets do not grow');
    const count = group.find((sample) => sample.name === `${name}_count`)?.value;
    if (bounds.at(-1) !== Number.POSITIVE_INFINITY || counts.at(-1) !== count) refuse(name, '+Inf is not the count');
    if (!group.some((sample) => sample.name === `${name}_sum`)) refuse(name, 'there is no sum');
  }
}
