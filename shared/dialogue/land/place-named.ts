/** Which stand or stratum is meant by what is said of an edge. */
import type { NoteOf } from '../../note/note.ts';
import type { StandRecord } from '../../totals/types.ts';
import * as wording from '../../wording/wording.ts';
import type { Context } from '../outcome.ts';

/** A stand or a stratum that was named, or the one in hand. */
export function placeNamed(
  { book, device }: Context,
  { stand, stratum }: Pick<NoteOf<'traverse'>, 'stand' | 'stratum'>,
): { readonly stand: StandRecord | null; readonly stratum: StandRecord | null } | string {
  const inHand = book.standOf(device);
  if (stratum !== undefined) {
    const found = book.stratumNamed(stratum, inHand?.id ?? null);
    return found
      ? { stand: inHand, stratum: found }
      : `There is no stratum ${wording.placeName(stratum)} here. Say stratum ${stratum} first.`;
  }
  if (stand === undefined) return { stand: inHand, stratum: book.stratumOf(device) };
  const found = [...book.stands.values()].find(({ name }) => name === stand);
  return found
    ? { stand: found, stratum: null }
    : `There is no stand ${wording.placeName(stand)} yet. Say new stand ${stand} first.`;
}
