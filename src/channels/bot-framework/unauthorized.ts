/** The token of a request is missing or not valid. */
export class UnauthorizedError extends Error {
  override readonly name = 'UnauthorizedError';
  constructor(cause: unknown) {
    super('the token is missing or not valid', { cause });
  }
}

/** Whether the token is at fault, and not that the issuer's keys could not be fetched. */
export function isTokenAtFault(error: unknown): boolean {
  const { statusCode, name } = (error ?? {}) as { statusCode?: unknown; name?: unknown };
  if (typeof statusCode === 'number') return statusCode === 401 || statusCode === 403;
  return name !== 'FetchError';
}
