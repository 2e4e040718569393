import { ADVISED_MODES, type Case } from '#shared/case.ts';
import { caseNames } from './case-names.ts';
import type { Voice } from './voice.ts';

/** A fact named by a path such as `seats.s1.expiryDate`, in words. */
export interface FactWords {
  /** Whose fact it is: a child, a seat, a position, the vehicle; null for the family. */
  readonly owner: string | null;
  readonly label: string;
  /** Null where the fact is not known. */
  readonly value: string | null;
}

type Json = { readonly [key: string]: unknown };

const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Fields whose codes are named in a group of another name. */
const GROUP_OF: Readonly<Record<string, 'mode' | 'kind' | 'answer'>> = {
  beltPath: 'mode',
  seatKind: 'kind',
  answer: 'answer',
};
const CODED = new Set([
  'acquired',
  'attachment',
  'belt',
  'chestClip',
  'facing',
  'frontAirBag',
  'kind',
  'lap',
  'mode',
  'recall',
  'recline',
  'sex',
  'shoulder',
  'side',
  'straps',
  'tether',
]);

const isRange = (value: unknown): value is { min: number; max: number } =>
  isObject(value) && typeof value.min === 'number' && typeof value.max === 'number';

/** One value by the name of its field: units by the ending of the name, codes by their words. Null where it is not known. */
export function valueWords(field: string, value: unknown, voice: Voice): string | null {
  const { measures } = voice;
  if (value === null || value === undefined) return null;
  if (typeof value === 'boolean') return voice.say(value ? 'answer.yes' : 'answer.no');
  if (typeof value === 'number' || isRange(value)) {
    if (field.endsWith('Kg')) return measures.weight(value);
    if (field.endsWith('Cm')) return measures.length(value);
    if (field.endsWith('Months')) return measures.age(value);
    if (field.endsWith('Years')) return measures.years(value);
    return typeof value === 'number' ? String(value) : `${value.min}–${value.max}`;
  }
  if (typeof value === 'string') {
    const group = GROUP_OF[field];
    if (group) return voice.name(group, value);
    if (field === 'kind' && value === 'unknown') return null;
    if (CODED.has(field)) return voice.name(field as 'mode', value);
    return field.endsWith('Date') ? measures.date(value) : value;
  }
  if (Array.isArray(value)) return value.length === 0 ? null : measures.list(value.map(String));
  return null;
}

interface Found {
  readonly owner: string | null;
  readonly value: unknown;
  readonly fields: readonly string[];
}

/** Ids may hold anything, so the part that owns the fact is found by its id, not by splitting. */
function find(path: string, facts: Case, voice: Voice): Found {
  const names = caseNames(facts, voice);
  const lists: readonly (readonly [string, readonly Json[], (part: Json) => string])[] = [
    ['children', facts.children, (part) => names.child(String(part.id))],
    ['seats', facts.seats, (part) => names.seatNumber(String(part.id))],
    ['uses', facts.uses, (part) => names.child(String(part.childId))],
    ['vehicle.positions', facts.vehicle?.positions ?? [], (part) => names.position(String(part.id))],
  ];
  for (const [list, parts, name] of lists)
    for (const part of parts) {
      const start = `${list}.${String(part.childId ?? part.id)}.`;
      if (path.startsWith(start))
        return { owner: name(part), value: part, fields: path.slice(start.length).split('.') };
    }
  const owner = path.startsWith('vehicle.') ? voice.say('fact.vehicle') : null;
  return { owner, value: facts, fields: path.split('.') };
}

/** The words for one fact of a case. A path that is not known is shown as it is. */
export function factWords(path: string, facts: Case, voice: Voice): FactWords {
  const { owner, value, fields } = find(path, facts, voice);
  const known = fields.reduce<unknown>((at, field) => (isObject(at) ? at[field] : undefined), value);
  const field = fields.at(-1) ?? path;
  if (fields.at(-2) === 'lawFacts') {
    const exception = voice.name('lawFact', field);
    return { owner, label: `${voice.say('fact.lawFacts')}: ${exception}`, value: null };
  }
  const mode = fields.find((one) => (ADVISED_MODES as readonly string[]).includes(one));
  const named = mode === field && fields.length > 1 && fields.at(-2) !== 'modes' ? (fields.at(-2) ?? field) : field;
  const label = voice.name('fact', named);
  const noLimit = known === null && fields[0] === 'modes' && fields.length === 3;
  return {
    owner,
    label: mode && named !== mode ? `${label} (${voice.name('mode', mode)})` : label,
    value: noLimit ? voice.say('case.noLimit') : valueWords(named, known, voice),
  };
}
