import { CM_PER_IN, IN_PER_FT, KG_PER_LB, LB_PER_STONE, OZ_PER_LB } from '#shared/units.ts';
import { closest } from './fuzzy.ts';
import type { UnitId } from './lexicon.ts';
import { hitAt, type Message } from './words.ts';

export type Dimension = 'weight' | 'height' | 'age';

export const DIMENSION: Readonly<Record<UnitId, Dimension>> = {
  lb: 'weight',
  oz: 'weight',
  kg: 'weight',
  g: 'weight',
  jin: 'weight',
  liang: 'weight',
  stone: 'weight',
  in: 'height',
  ft: 'height',
  cm: 'height',
  m: 'height',
  mm: 'height',
  dm: 'height',
  chi: 'height',
  cun: 'height',
  year: 'age',
  month: 'age',
  week: 'age',
  day: 'age',
};

/** Kilograms or centimetres to the unit; the jin is half a kilogram and the liang a tenth of it (understanding.md, Units); three chi are a metre. */
export const SIZE: Readonly<Record<UnitId, number>> = {
  lb: KG_PER_LB,
  oz: KG_PER_LB / OZ_PER_LB,
  kg: 1,
  g: 0.001,
  jin: 0.5,
  liang: 0.05,
  stone: KG_PER_LB * LB_PER_STONE,
  in: CM_PER_IN,
  ft: CM_PER_IN * IN_PER_FT,
  cm: 1,
  m: 100,
  mm: 0.1,
  dm: 10,
  chi: 100 / 3,
  cun: 10 / 3,
  year: 12,
  month: 1,
  week: 7 / 30.44,
  day: 1 / 30.44,
};

/** The smaller unit that may follow, and how many of it make one of the larger. */
export const SMALLER: Readonly<Partial<Record<UnitId, Readonly<Partial<Record<UnitId, number>>>>>> = {
  lb: { oz: OZ_PER_LB },
  kg: { g: 1000, liang: 20 },
  stone: { lb: LB_PER_STONE },
  jin: { liang: 10 },
  ft: { in: IN_PER_FT },
  chi: { cun: 10 },
  m: { cm: 100, dm: 10 },
  dm: { cm: 10 },
  cm: { mm: 10 },
  year: { month: 12, week: 52, day: 366 },
  month: { week: 5, day: 31 },
  week: { day: 7 },
};

export interface ReadUnit {
  readonly ids: readonly UnitId[];
  readonly end: number;
  /** Taken for a misspelling. */
  readonly guessed: boolean;
}

const TICKS: Readonly<Record<string, UnitId>> = { "'": 'ft', '"': 'in' };
const SHORTEST_MISSPELT = 4;

const misspeltUnit = (message: Message, at: number): ReadUnit | null => {
  const token = message.tokens[at];
  if (token?.kind !== 'word' || token.text.length < SHORTEST_MISSPELT) return null;
  const name = closest(message.vocabulary, token.text, 'unit');
  return name ? { ids: [name as UnitId], end: at + 1, guessed: true } : null;
};

/** The unit said at a token; several ids where one word stands for several units. */
export const unitAt = (message: Message, at: number): ReadUnit | null => {
  const token = message.tokens[at];
  if (token === undefined) return null;
  if (token.kind === 'mark') {
    const tick = TICKS[token.text];
    return tick ? { ids: [tick], end: at + 1, guessed: false } : null;
  }
  const longest = hitAt(message, 'unit', at);
  if (!longest) return misspeltUnit(message, at);
  // "90 a 92": what joins two numbers is no unit of the first.
  const joins = longest.end === at + 1 && hitAt(message, 'relation', at, 'to') !== null;
  if (joins && message.tokens[at]?.spaced && message.tokens[longest.end]?.kind === 'number') return null;
  // "tháng 10 năm 2024": the word leads up to a year.
  const year = hitAt(message, 'date-before', at, 'year');
  const next = year ? message.tokens[year.end] : undefined;
  if (year && next?.kind === 'number' && next.text.length === 4) return null;
  // "turned two in february"
  const linker = hitAt(message, 'date-linker', at);
  if (linker?.end === longest.end && hitAt(message, 'month', linker.end)) return null;
  // "vai fazer 3 mês que vem": the word tells when the birthday is.
  if ((hitAt(message, 'relation', at, 'turning')?.end ?? 0) > longest.end) return null;
  const ids = (message.hits[at] ?? []).filter(({ group, end }) => group === 'unit' && end === longest.end);
  return { ids: [...new Set(ids.map(({ name }) => name as UnitId))], end: longest.end, guessed: false };
};

/** The unit of a number that ends at `at`, past a hyphen, a full stop or a linking word ("labing-apat na kilo"). */
export const unitAfter = (message: Message, at: number): ReadUnit | null => {
  const direct = unitAt(message, at);
  // "12.3 in kilos"
  const named =
    direct && message.tokens[at]?.text === 'in' && message.tokens[at]?.spaced ? unitAt(message, direct.end) : null;
  if (named && !named.guessed && !named.ids.includes('ft') && message.tokens[named.end - 1]?.kind === 'word')
    return named;
  if (direct && !direct.guessed) return direct;
  const token = message.tokens[at];
  const linker = hitAt(message, 'linker', at);
  const skipped = linker?.end ?? (token?.kind === 'mark' && token.text === '-' ? at + 1 : null);
  const later = skipped === null ? null : unitAt(message, skipped);
  return later && !later.guessed ? later : (direct ?? later);
};
