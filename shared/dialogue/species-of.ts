/** What a species name means in this book. */

import type { SpeciesRef } from '../note/note.ts';
import { speciesOfNickname } from '../note/species.ts';
import type { Context } from './outcome.ts';

/** The species of a reference in this book, or the codes among which to ask. */
export function speciesOf(
  context: Context,
  ref: SpeciesRef,
): { code: number } | { codes: readonly number[] } {
  if (typeof ref === 'number') return { code: ref };
  const settled = context.settings.nicknames.get(ref);
  if (settled !== undefined) return { code: settled };
  const user = context.book.words.findLast((word) => word.word === ref && word.species !== undefined);
  if (user?.species !== undefined) return { code: user.species };
  const codes = speciesOfNickname(ref);
  return codes.length === 1 ? { code: codes[0]! } : { codes };
}
