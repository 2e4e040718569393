import sources from './sources.json' with { type: 'json' };

export type SourceId = keyof typeof sources;

/** Where a rule or a value comes from. */
export interface Source {
  readonly title: string;
  readonly section?: string;
  /** Law or standard, agency guidance, trade custom, or arithmetic of our own. */
  readonly kind: 'rule' | 'guidance' | 'common practice' | 'computed';
  /** The text itself was read, an account of it was read, or neither. */
  readonly status: 'seen' | 'secondary' | 'memory';
  readonly statement: string;
  readonly value?: string;
}

/** Every source entry by its id, `S-001` to `S-279` with gaps, and the growth references. */
export const SOURCES = sources as Readonly<Record<SourceId, Source>>;

/** The entry for an id from anywhere, such as a stored assessment; undefined for an id that is none. */
export const findSource = (id: string): Source | undefined => (SOURCES as Readonly<Record<string, Source>>)[id];
