/** The database cannot be opened, or what it holds cannot be used. The sentence is meant for the operator. */
export class StoreError extends Error {
  override readonly name: string = 'StoreError';
}

/** The database does not answer now; the same may work in a moment, and nothing was written halfway. */
export class StoreUnavailableError extends StoreError {
  override readonly name = 'StoreUnavailableError';
  /** Why, as the database or the network names it; for the log. */
  readonly code: string | undefined;
  constructor(cause: unknown, code = (cause as { code?: string } | null)?.code) {
    super('The database does not answer.', { cause });
    this.code = code;
  }
}
