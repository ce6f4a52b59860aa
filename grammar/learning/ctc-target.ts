/** The phones of known words, all their pronunciations, as a small graph: what a clip of these words must have said. */
import type { Lexicon } from '../pronunciation/lexicon.ts';

/** Nodes are phones of pronunciations; the first word's and the last word's are where it begins and ends. */
export interface CtcTarget {
  /** By node. */
  readonly phone: Uint8Array;
  /** Nodes that may stand before node n: `before[beforeFrom[n]]` to `before[beforeFrom[n + 1] - 1]`; all smaller than n. */
  readonly beforeFrom: Uint32Array;
  readonly before: Uint32Array;
  /** Nodes with which the sound may begin and end. */
  readonly first: Uint8Array;
  readonly last: Uint8Array;
}

/**
 * The graph of a sequence of words.
 *
 * Throws a RangeError for no words at all: silence has nothing to learn from.
 */
export function ctcTarget(lexicon: Lexicon, words: readonly string[]): CtcTarget {
  if (words.length === 0) throw new RangeError('expected at least one word');
  const phone: number[] = [];
  const before: number[] = [];
  const beforeFrom: number[] = [0];
  const first: number[] = [];
  let ends: number[] = [];
  words.forEach((word, at) => {
    const mine: number[] = [];
    for (const sound of lexicon.pronounce(word)) {
      sound.forEach((id, i) => {
        if (i > 0) before.push(phone.length - 1);
        else before.push(...ends);
        beforeFrom.push(before.length);
        first.push(at === 0 && i === 0 ? 1 : 0);
        phone.push(id);
      });
      mine.push(phone.length - 1);
    }
    ends = mine;
  });
  const last = new Uint8Array(phone.length);
  for (const node of ends) last[node] = 1;
  return {
    phone: Uint8Array.from(phone),
    beforeFrom: Uint32Array.from(beforeFrom),
    before: Uint32Array.from(before),
    first: Uint8Array.from(first),
    last,
  };
}
