import type { Case } from '../case.ts';
import { FACT_KEYS, FACT_SPECS, type FactSpec } from '../fact-keys.ts';
import { SEAT_FACT_SPECS } from '../seat-facts.ts';

/** How the value of a fact is given: by choosing, as a number in a unit, a date, or words. */
export type FactForm =
  | { readonly kind: 'choice'; readonly values: readonly (string | boolean)[] }
  | { readonly kind: 'kg' | 'cm' | 'months' | 'years' | 'date' | 'text' };

/** A fact that a technician can record: its path in two parts, as ids may hold anything. */
export interface Recordable {
  readonly path: string;
  readonly owner: 'children' | 'seats' | 'positions' | 'vehicle' | 'uses';
  /** The id of the child, seat or position; null for the vehicle. */
  readonly id: string | null;
  /** Path below the owner. */
  readonly field: string;
  readonly form: FactForm;
}

type Forms = ReadonlyMap<string, FactForm>;

function formOf(name: string, values: FactSpec['values'] | 'date'): FactForm | null {
  if (values === 'id') return null;
  if (values === 'date') return { kind: 'date' };
  if (values !== 'number') return { kind: 'choice', values: values.filter((one) => typeof one !== 'number') };
  if (/Kg$|^lowerAnchorLimitKg/.test(name)) return { kind: 'kg' };
  if (name.endsWith('Cm')) return { kind: 'cm' };
  return { kind: name.endsWith('Years') ? 'years' : 'months' };
}

const formsOf = (facts: readonly (readonly [string, FactSpec['values'] | 'date'])[]): [string, FactForm][] =>
  facts.flatMap(([name, values]) => {
    const form = formOf(name, values);
    return form ? [[name, form]] : [];
  });

const specsOf = (owner: FactSpec['owner']): [string, FactForm][] =>
  formsOf(
    FACT_KEYS.map((key) => FACT_SPECS[key])
      .filter((spec) => spec.owner === owner && spec.name !== 'row')
      .map(({ name, values }) => [name, values]),
  );

const CHILD: Forms = new Map([['birthDate', { kind: 'date' }], ...specsOf('child')]);
const USE: Forms = new Map(specsOf('use'));
const POSITION: Forms = new Map(specsOf('position'));
const VEHICLE: Forms = new Map(specsOf('vehicle'));
const SEAT: Forms = new Map<string, FactForm>([
  ...specsOf('seat'),
  ...formsOf(Object.values(SEAT_FACT_SPECS).map(({ name, values }) => [name, values])),
  ['modelNumber', { kind: 'text' }],
]);

const below = (owner: Recordable['owner'], start: string, id: string | null, forms: Forms): Recordable[] =>
  [...forms].map(([field, form]) => ({ path: `${start}${field}`, owner, id, field, form }));

/** Every fact of a case that can be seen, measured or read at the kerb. */
export const recordables = ({ children, seats, vehicle }: Case): readonly Recordable[] => [
  ...children.flatMap(({ id }) => below('children', `children.${id}.`, id, CHILD)),
  ...children.flatMap(({ id }) => below('uses', `uses.${id}.`, id, USE)),
  ...seats.flatMap(({ id }) => below('seats', `seats.${id}.`, id, SEAT)),
  ...(vehicle?.positions ?? []).flatMap(({ id }) => below('positions', `vehicle.positions.${id}.`, id, POSITION)),
  ...below('vehicle', 'vehicle.', null, VEHICLE),
];
