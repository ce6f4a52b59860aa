/** The one way to return a failure that the user caused. Programming mistakes throw instead. */
export type Result<T, E> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: E };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const err = <E>(error: E): { readonly ok: false; readonly error: E } => ({ ok: false, error });

/** Ends an exhaustive switch: does not compile while a case is missing. */
export function assertNever(value: never): never {
  throw new Error(`case not handled: ${JSON.stringify(value)}`);
}
