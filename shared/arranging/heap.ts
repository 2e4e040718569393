interface Entry<T> {
  readonly item: T;
  readonly cost: number;
  readonly order: number;
}

/** A heap that gives the item of least cost first; of equal ones the newest, so that a path once begun is ended. */
export const createHeap = <T>() => {
  const entries: Entry<T>[] = [];
  let added = 0;
  const before = (a: Entry<T>, b: Entry<T>): boolean => a.cost < b.cost || (a.cost === b.cost && a.order > b.order);
  const swap = (i: number, j: number) => {
    const entry = entries[i] as Entry<T>;
    entries[i] = entries[j] as Entry<T>;
    entries[j] = entry;
  };
  const comesBefore = (i: number, j: number): boolean => before(entries[i] as Entry<T>, entries[j] as Entry<T>);
  return {
    add(item: T, cost: number): void {
      entries.push({ item, cost, order: added++ });
      for (let i = entries.length - 1; i > 0; ) {
        const parent = (i - 1) >> 1;
        if (!comesBefore(i, parent)) break;
        swap(i, parent);
        i = parent;
      }
    },
    take(): { readonly item: T; readonly cost: number } | null {
      const first = entries[0];
      if (first === undefined) return null;
      const last = entries.pop() as Entry<T>;
      if (entries.length > 0) entries[0] = last;
      for (let i = 0; ; ) {
        const left = 2 * i + 1;
        const right = left + 1;
        let least = i;
        if (left < entries.length && comesBefore(left, least)) least = left;
        if (right < entries.length && comesBefore(right, least)) least = right;
        if (least === i) break;
        swap(i, least);
        i = least;
      }
      return first;
    },
  };
};
