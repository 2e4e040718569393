/** A value read, and whether it is to be read back. */
export interface Found<T> {
  readonly value: T;
  readonly doubtful: boolean;
}
