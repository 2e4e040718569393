/** The photos of so many messages are in memory at once, of at most 12 MB and its copies. */
const AT_ONCE = 4;
/** So many more wait with nothing of them read; one more is told to come again. */
const MOST_WAITING = 30;

export interface PhotoGate {
  /** Runs work when there is room for it; null at once where too many wait already. */
  readonly pass: <T>(work: () => Promise<T>) => Promise<T> | null;
}

/** Lets in as many photos as there is memory for, of all channels; the others stay in the network until it is their turn. */
export function createPhotoGate(): PhotoGate {
  let inside = 0;
  const waiting: (() => void)[] = [];
  const enter = (): Promise<void> => {
    if (inside < AT_ONCE) {
      inside += 1;
      return Promise.resolve();
    }
    return new Promise((resolve) => {
      waiting.push(resolve);
    });
  };
  /** The next one takes the place over, so that nobody slips in before it. */
  const leave = (): void => {
    const next = waiting.shift();
    if (next) next();
    else inside -= 1;
  };
  return {
    pass(work) {
      if (waiting.length >= MOST_WAITING) return null;
      return enter().then(work).finally(leave);
    },
  };
}
