/** Values that must be there by the way the program is made: where one is not, it says so instead of going on without. */

/** A mistake of the program, never of a user: something that was put in place before is not there. */
class MissingError extends Error {
  constructor(what: string) {
    super(`${what} is missing, which cannot be by the way the program is made`);
    this.name = 'MissingError';
  }
}

/**
 * The value; throws `MissingError` where there is none.
 * Example: `required(new Map([['oak', 3]]).get('oak'), 'the oak') === 3`.
 */
export function required<Value>(value: Value | null | undefined, what: string): Value {
  if (value === null || value === undefined) throw new MissingError(what);
  return value;
}

/**
 * The last of a list that is never empty; throws `MissingError` where it is.
 * Example: `lastOf([1, 2, 3]) === 3`.
 */
export function lastOf<Item>(list: { at(place: number): Item | undefined }): Item {
  return required(list.at(-1), 'the last item');
}
