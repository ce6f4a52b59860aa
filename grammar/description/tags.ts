/** Tags: what a place in a pattern does to the note that is being read. */

/** One action on the note being read. */
export type Tag =
  | { readonly op: 'const'; readonly path: string; readonly value: string | number | boolean }
  | {
      readonly op: 'number';
      readonly path: string;
      readonly sign: 1 | -1;
      readonly quantity: boolean;
      readonly append: boolean;
    }
  | { readonly op: 'words'; readonly path: string }
  /** Both numbers of a `<pair>`. */
  | { readonly op: 'pair'; readonly path: string }
  /** Numbers are read by these, in order, into one register. */
  | { readonly op: 'digit'; readonly action: NumberAction; readonly value: number }
  | { readonly op: 'unit'; readonly unit: string };

/**
 * What a number word does to the register (`whole`, `fraction digits`, `added part`):
 * `add` n; `times` 100 or 1000 (the part since the last `times`); `shift` by 100 and add (one twenty); `append` a
 * digit (one oh five, one four two); `point` begins decimals; `decimal` appends a digit behind it; `part` adds a
 * fraction (and a half: 0.5); `over` divides (three eighths); `feet` closes the feet of
 * feet-and-inches; `negate` stands before the number and turns its sign.
 */
export type NumberAction =
  | 'add'
  | 'times'
  | 'shift'
  | 'append'
  | 'point'
  | 'decimal'
  | 'part'
  | 'over'
  | 'feet'
  | 'negate';
