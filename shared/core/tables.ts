/**
 * Tables: a record with one row for each member of an axis (log rules, methods, units, ...), from which everything that
 * goes by that axis is derived. Object keys keep the order in which they are written.
 */

/**
 * The members of a table, in its order; a tuple, as schemas want it.
 * Example: `keysOf({ ft: 1, m: 2 })` is `['ft', 'm']`.
 */
export function keysOf<T extends object>(table: T): readonly [keyof T & string, ...(keyof T & string)[]] {
  const [first, ...rest] = Object.keys(table) as (keyof T & string)[];
  if (first === undefined) throw new RangeError('a table has at least one row');
  return [first, ...rest];
}

/**
 * The members of a table that fit, in its order; it throws where none does.
 * `isLength` narrows a key: `keysWhere(unitTable, isLength)` are the units of length.
 */
export function keysWhere<T extends object, K extends keyof T & string>(
  table: T,
  fits: (key: keyof T & string) => key is K,
): readonly [K, ...K[]] {
  const [first, ...rest] = keysOf(table).filter(fits);
  if (first === undefined) throw new RangeError('no row of the table fits');
  return [first, ...rest];
}

/**
 * The place of each name in a list of columns. A name that stands twice would share its sums: it throws.
 * Example: `columnsOf(['n', 'w'])` is `{ n: 0, w: 1 }`.
 */
export function columnsOf<N extends string>(names: readonly N[]): Readonly<Record<N, number>> {
  const at: Partial<Record<N, number>> = {};
  names.forEach((name, i) => {
    if (name in at) throw new RangeError(`column ${name} stands twice`);
    at[name] = i;
  });
  return at as Record<N, number>;
}

/**
 * What a row holds for each of some members, in their order; a tuple, as schemas want it.
 * Example: `rowsOf(keysOf({ ft: 1, m: 2 }), (unit) => unit.length)` is `[2, 1]`.
 */
export function rowsOf<K, R>([first, ...rest]: readonly [K, ...K[]], row: (key: K) => R): [R, ...R[]] {
  return [row(first), ...rest.map(row)];
}
