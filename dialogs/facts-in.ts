import type { Case } from '#shared/case.ts';
import type { Facts, FactValue } from './facts.ts';

const isRange = (value: object): value is { min: number; max: number } => 'min' in value && 'max' in value;

function walk(node: object, path: string, facts: Record<string, FactValue>): void {
  for (const [key, value] of Object.entries(node)) {
    const at = path === '' ? key : `${path}.${key}`;
    if (value === undefined || key === 'id' || key === 'childId') continue;
    // Null says something only of a limit: that the label states none.
    if (value === null && !at.includes('.modes.')) continue;
    if (Array.isArray(value)) continue;
    if (typeof value === 'object' && value !== null && !isRange(value)) walk(value, at, facts);
    else facts[at] = value as FactValue;
  }
}

/** The facts of a case by their paths; `assembleCase` makes the same case of them. */
export function factsIn({ asOf: _day, children, seats, vehicle, uses, ...rest }: Case): Facts {
  const facts: Record<string, FactValue> = {};
  walk(rest, '', facts);
  const lists = [
    ['children', children.map((child) => [child.id, child] as const)],
    ['seats', seats.map((seat) => [seat.id, seat] as const)],
    ['vehicle.positions', (vehicle?.positions ?? []).map((position) => [position.id, position] as const)],
    ['uses', uses.map((use) => [use.childId, use] as const)],
  ] as const;
  if (vehicle) walk(vehicle, 'vehicle', facts);
  for (const [list, parts] of lists)
    for (const [id, part] of parts) {
      facts[`${list}.${id}`] = true;
      walk(part, `${list}.${id}`, facts);
    }
  return facts;
}
