/** The database cannot be opened, or what it holds cannot be used. The sentence is meant for the operator. */
export class StoreError extends Error {
  override readonly name = 'StoreError';
}
