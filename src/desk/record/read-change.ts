import { isCalendarDate } from '#shared/dates.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import { type How, type VisitChange, visitBodySchema } from '#shared/visit-record/entries.ts';
import { type Recordable, recordables } from '#shared/visit-record/recordable.ts';
import type { Review } from '#shared/visit-record/review.ts';
import { withFact } from '#shared/visit-record/set-fact.ts';
import { cleanText } from '#src/channels/clean-text.ts';
import { choicesOf } from './fact-choices.ts';

export type ChangeProblem = 'number' | 'date' | 'empty' | 'impossible';
export type ReadChange =
  | { readonly ok: true; readonly change: VisitChange }
  | { readonly ok: false; readonly problem: ChangeProblem };

const NUMBER = /^\d{1,4}(?:[.,]\d{1,3})?$/;
const TO_STORED: Readonly<Record<string, (value: number) => number>> = { lb: lbToKg, in: inToCm };

const howOf = ({ owner, field }: Recordable): How => {
  if (field === 'weightKg') return 'scale';
  if (field === 'heightCm') return 'tape';
  if (owner === 'children') return 'told';
  return owner === 'seats' ? 'label' : 'seen';
};

/** The value typed or tapped for a fact, in kilograms and centimetres; null where it is none. */
function typedValue(fact: Recordable, typed: string, unit: string): FactValue | null {
  const choices = choicesOf(fact);
  if (choices.length > 0) return choices.find(({ code }) => code === typed)?.value ?? null;
  switch (fact.form.kind) {
    case 'text':
      return typed === '' ? null : typed.slice(0, 100);
    case 'date':
      return isCalendarDate(typed) ? typed : null;
    default: {
      if (!NUMBER.test(typed)) return null;
      const number = Number(typed.replace(',', '.'));
      return (TO_STORED[unit] ?? ((same: number) => same))(number);
    }
  }
}

type FactValue = NonNullable<Extract<VisitChange, { kind: 'fact' }>['value']>;

function factChange(field: (name: string) => string, { left, found }: Review): ReadChange {
  const stage = field('stage') === 'left' ? 'left' : 'found';
  const family = (stage === 'left' ? left : found).case;
  const fact = recordables(family).find(({ path }) => path === field('path'));
  if (!fact) return { ok: false, problem: 'impossible' };
  const change = { kind: 'fact', stage, path: fact.path, how: howOf(fact) } as const;
  if (field('value') === '' && field('clear') === 'yes') return { ok: true, change: { ...change, value: null } };
  const value = typedValue(fact, cleanText(field('value')).trim(), field('unit'));
  if (value === null) return { ok: false, problem: fact.form.kind === 'date' ? 'date' : 'number' };
  return withFact(family, fact, value)
    ? { ok: true, change: { ...change, value } }
    : { ok: false, problem: 'impossible' };
}

const parsed = (body: unknown): ReadChange => {
  const read = visitBodySchema.safeParse(body);
  if (!read.success || read.data.kind === 'sign-off' || read.data.kind === 'correction')
    return { ok: false, problem: 'impossible' };
  return { ok: true, change: read.data };
};

const jsonOf = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
};

/** Reads one form of the record's page. `id` is the entry's, from which a seat that came in at the visit gets its own. */
export function readChange(fields: URLSearchParams, review: Review, id: string): ReadChange {
  const field = (name: string): string => fields.get(name) ?? '';
  const child = { childId: field('child') };
  switch (field('does')) {
    case 'fact':
      return factChange(field, review);
    case 'place': {
      const [row, side] = field('value').split(':');
      return parsed({ kind: 'place', stage: field('stage'), ...child, row: Number(row), side });
    }
    case 'finding': {
      const [code, childId, seatId, positionId] = (jsonOf(field('finding')) as unknown[] | null) ?? [];
      return parsed({ kind: 'finding', code, childId, seatId, positionId, verdict: field('value') });
    }
    case 'education':
      return parsed({ kind: 'education', topic: field('topic'), given: field('value') === 'yes' });
    case 'seat': {
      const how = field('value');
      if (how === 'kept') return parsed({ kind: 'seat', ...child, seat: null });
      const description = cleanText(field('description')).trim().slice(0, 100);
      return parsed({ kind: 'seat', ...child, seat: { id: `v-${id}`, how, kind: field('kind'), description } });
    }
    case 'note': {
      const text = cleanText(field('text').replaceAll('\r\n', '\n')).trim();
      return text === '' ? { ok: false, problem: 'empty' } : parsed({ kind: 'note', text });
    }
    case 'reminders':
      return parsed({ kind: 'reminders', wanted: field('value') === 'yes' });
    default:
      return { ok: false, problem: 'impossible' };
  }
}
