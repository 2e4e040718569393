import { type Case, parseCase, type Use } from '../case.ts';
import type { Recordable } from './recordable.ts';

type Json = { readonly [key: string]: unknown };

const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function setIn(holder: unknown, fields: readonly string[], value: unknown): Json {
  const [field = '', ...rest] = fields;
  const before = isObject(holder) ? holder : {};
  return { ...before, [field]: rest.length === 0 ? value : setIn(before[field], rest, value) };
}

const changed = <Part extends { readonly id: string }>(
  parts: readonly Part[],
  id: string | null,
  change: (part: Part) => unknown,
) => parts.map((part) => (part.id === id ? change(part) : part));

/** The use of a child, empty where nothing is known of it. */
export const useOf = (family: Case, childId: string): Use =>
  family.uses.find((use) => use.childId === childId) ?? { childId };

/** The case with the use of one child in the place of the one before. */
export const withUse = (family: Case, use: Use): Case => ({
  ...family,
  uses: family.uses.some(({ childId }) => childId === use.childId)
    ? family.uses.map((before) => (before.childId === use.childId ? use : before))
    : [...family.uses, use],
});

/** Reads a date of birth as the better of the two ways to state an age. */
const childWith = (child: Json, fields: readonly string[], value: unknown): Json => {
  const set = setIn(child, fields, value);
  return fields[0] === 'birthDate'
    ? { ...set, ageMonths: null }
    : fields[0] === 'ageMonths'
      ? { ...set, birthDate: null }
      : set;
};

/** The value of a fact in a case; undefined or null where it is not known. */
export function factIn(family: Case, { owner, id, field }: Recordable): unknown {
  const holders: Readonly<Record<Recordable['owner'], unknown>> = {
    children: family.children.find((child) => child.id === id),
    seats: family.seats.find((seat) => seat.id === id),
    positions: family.vehicle?.positions?.find((position) => position.id === id),
    vehicle: family.vehicle,
    uses: family.uses.find(({ childId }) => childId === id),
  };
  return field.split('.').reduce<unknown>((at, name) => (isObject(at) ? at[name] : undefined), holders[owner]);
}

/** A case with one fact set; null where the case cannot hold the value. */
export function withFact(family: Case, { owner, id, field }: Recordable, value: unknown): Case | null {
  // The names of limits hold no dot, so a path below an owner can be split.
  const fields = field.split('.');
  const { vehicle } = family;
  const next = (() => {
    switch (owner) {
      case 'children':
        return { ...family, children: changed(family.children, id, (child) => childWith(child, fields, value)) };
      case 'seats':
        return { ...family, seats: changed(family.seats, id, (seat) => setIn(seat, fields, value)) };
      case 'positions':
        return {
          ...family,
          vehicle: {
            ...vehicle,
            positions: changed(vehicle?.positions ?? [], id, (position) => setIn(position, fields, value)),
          },
        };
      case 'vehicle':
        return { ...family, vehicle: setIn(vehicle, fields, value) };
      case 'uses':
        return withUse(family, setIn(useOf(family, id ?? ''), fields, value) as Use);
    }
  })();
  const parsed = parseCase(next);
  return parsed.ok ? parsed.case : null;
}
