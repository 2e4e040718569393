import type { Case } from '#shared/case.ts';

/** A fact's value as it stands in a case: a number, a range, a word, a yes or no, or null. */
export type FactValue = string | number | boolean | null | { readonly min: number; readonly max: number };

/** Facts by path, such as `children.c1.weightKg` or `seats.s1.modes.rear-facing.maxWeightKg`. */
export type Facts = Readonly<Record<string, FactValue>>;

type Node = Record<string, unknown>;

/** Lists whose elements are named by an id in the path, and the field that holds it. */
const LISTS: Readonly<Record<string, string>> = {
  children: 'id',
  seats: 'id',
  uses: 'childId',
  'vehicle.positions': 'id',
};

function place(root: Node, path: string, value: FactValue): void {
  let node = root;
  let at = '';
  const keys = path.split('.');
  for (let i = 0; i < keys.length - 1; i++) {
    const key = keys[i] as string;
    at = at ? `${at}.${key}` : key;
    const idField = LISTS[at];
    if (!idField) {
      node[key] ??= {};
      node = node[key] as Node;
      continue;
    }
    node[key] ??= [];
    const list = node[key] as Node[];
    const id = keys[++i] as string;
    let element = list.find((e) => e[idField] === id);
    if (!element) {
      element = { [idField]: id };
      list.push(element);
    }
    if (i === keys.length - 1) return;
    node = element;
  }
  node[keys.at(-1) as string] = value;
}

/**
 * Assembles a case from facts by path. A path that ends at a list element (`children.c2`) only makes it exist.
 * The result is checked by `parseCase` where it leaves the conversation.
 */
export function assembleCase(facts: Facts, asOf: string): Case {
  const root: Node = { asOf, children: [], seats: [], uses: [] };
  for (const [path, value] of Object.entries(facts)) place(root, path, value);
  return root as Case;
}

/** The value at a path of a case; undefined, or null outside a seat's limits, where nothing is known. */
export function factOf(theCase: Case, path: string): FactValue | undefined {
  let node: unknown = theCase;
  let at = '';
  const keys = path.split('.');
  for (let i = 0; i < keys.length; i++) {
    if (node == null) return undefined;
    const key = keys[i] as string;
    at = at ? `${at}.${key}` : key;
    const idField = LISTS[at];
    node = (node as Node)[key];
    if (idField) {
      const id = keys[++i];
      if (id === undefined) return undefined;
      node = (node as Node[] | undefined)?.find((e) => e[idField] === id);
    }
  }
  return node as FactValue | undefined;
}
