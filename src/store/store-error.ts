/** The database cannot be opened, or what it holds cannot be used. The sentence is meant for the operator. */
export class StoreError extends Error {
  override readonly name: string = 'StoreError';
}

/** The database does not answer now; the same may work in a moment, and nothing was written halfway. */
export class StoreUnavailableError extends StoreError {
  override readonly name = 'StoreUnavailableError';
  constructor(cause: unknown) {
    super('The database does not answer.', { cause });
  }
}
