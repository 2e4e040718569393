export interface Lane {
  /** Runs work when all before it is done; null at once where too much waits already. */
  readonly run: <T>(work: () => Promise<T>) => Promise<T> | null;
}

/** One thing after another, with at most so many in it, the one under way among them. */
export function createLane(most: number): Lane {
  let inside = 0;
  let last: Promise<unknown> = Promise.resolve();
  return {
    run(work) {
      if (inside >= most) return null;
      inside += 1;
      const result = last.then(work).finally(() => {
        inside -= 1;
      });
      last = result.catch(() => {});
      return result;
    },
  };
}
