/**
 * What people type in other words than the description's own: short forms, the same thing said another way, and words
 * that say nothing. Typed text that is not read as it stands is read in these words (`grammar/reading/plainly.ts`); the
 * automaton, and with it the ear, knows none of them, so they cost neither arcs nor hearing.
 *
 * A row is a pattern over canonical words (`normalise`) and what to read instead. `#` is a number of one or more words,
 * `@` any one word, `~` a word that the description does not know, `%` one of them that was written with a capital: each is
 * taken up again as `$1`, `$2`, ...; the rest is a regular expression. It begins and ends at the border of a word; `^` and `$` are the ends of a clause. Rows are applied
 * in their order, behind "remark" none. Short forms and phrases: common practice, no source.
 */

/** A pattern, and what to read instead of it. */
export type OtherWords = readonly (readonly [pattern: string, instead: string])[];
