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

/** A table with the same members, each row made anew. Example: `mapTable(units, (unit) => unit.words)`. */
export function mapTable<T extends object, R>(
  table: T,
  row: (row: T[keyof T & string], key: keyof T & string) => R,
): Record<keyof T & string, R> {
  const made: Partial<Record<keyof T & string, R>> = {};
  for (const key of keysOf(table)) made[key] = row(table[key], key);
  return made as Record<keyof T & string, R>;
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
