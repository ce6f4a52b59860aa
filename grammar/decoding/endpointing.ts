/**
 * Does a note usually end here? Told from the examples of the grammar: of those that came to the same place of the
 * automaton, how many ended there. So the wait for more words is as long as the grammar gives reason for.
 */
import type { Standing } from '../../shared/sound/endpointing.ts';
import type { Automaton } from '../automaton/automaton.ts';
import type { Description } from '../description/model.ts';
import { normalise } from '../description/normalise.ts';

/** Share of the examples ending at a place above which a note there counts as one that seldom goes on: half says nothing. */
const seldom = 0.5;
/** Examples, half of them ending, that every place is thought to have seen: the fewer real ones, the more they weigh. */
const imagined = 1;

export interface NoteEndings {
  /** What the words of a note are, for the wait after them: a note that may go on, or one that is `closed`. */
  standing(words: readonly string[]): Standing;
  /** Share, 0 to 1, of notes that end where these words lead; null where no note ends. */
  share(words: readonly string[]): number | null;
}

/** Walks the examples of a description through its automaton; a few milliseconds. */
export function createNoteEndings(automaton: Automaton, description: Description): NoteEndings {
  const { again, arcFrom, arcTo, arcWord, finalFrom, states, start, wordId } = automaton;
  const final = (state: number): boolean => finalFrom[state + 1]! > finalFrom[state]!;
  const step = (from: Iterable<number>, word: string): Set<number> => {
    const id = wordId.get(word);
    const to = new Set<number>();
    for (const state of from)
      for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++)
        if (arcWord[arc] === id || arcWord[arc] === 0) to.add(arcTo[arc]!);
    return to;
  };
  const ended = new Float64Array(states);
  const passed = new Float64Array(states);
  for (const { examples = [] } of description.rules)
    for (const { words } of examples) {
      let at = new Set([start]);
      const list = normalise(words).split(/[ ,]+/);
      for (const [index, word] of list.entries()) {
        at = step(at, word);
        const count = index === list.length - 1 ? ended : passed;
        for (const state of at) if (final(state)) count[state]!++;
      }
    }
  /** Where the words lead as the fewest notes, and how many notes are before the last of them, which counts. */
  const place = (
    words: readonly string[],
  ): { readonly states: readonly number[]; readonly notes: number } => {
    /** By the number of notes before the one in hand. */
    let ways = [new Set([start])];
    for (const word of words) {
      const next = ways.map((at) => step(at, word));
      if (again !== undefined)
        ways.forEach((at, notes) => {
          if (![...at].some(final)) return;
          const more = step([again], word);
          next[notes + 1] = new Set([...(next[notes + 1] ?? []), ...more]);
        });
      ways = next;
    }
    const notes = ways.findIndex((at) => at.size > 0);
    return { states: [...(ways[notes] ?? [])], notes };
  };
  const shareOf = (places: readonly number[]): number | null => {
    const ends = places.filter(final);
    if (ends.length === 0) return null;
    const sum = (counts: Float64Array) => ends.reduce((total, state) => total + counts[state]!, 0);
    const stopped = sum(ended);
    return (stopped + imagined / 2) / (stopped + sum(passed) + imagined);
  };
  return {
    share: (words) => shareOf(place(words).states),
    standing(words) {
      const { states: places, notes } = place(words);
      const share = shareOf(places);
      if (share === null) return 'open';
      if (places.every((state) => arcFrom[state] === arcFrom[state + 1])) return 'closed';
      // A second note is at times the beginning of a word of the first, and who says several goes on.
      return share > seldom && notes === 0 ? 'complete' : 'longer';
    },
  };
}
