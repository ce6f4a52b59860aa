/** The language as it is listened for; with an wake word, every sentence begins with a word of the user's choice. */

import type { ArcWeights, Automaton } from '../automaton/automaton.ts';
import type { Description } from '../description/model.ts';
import { normalise } from '../description/normalise.ts';
import type { Lexicon } from '../pronunciation/lexicon.ts';
import { createGraph, type PhoneGraph } from '../pronunciation/phone-graph.ts';

/**
 * What the ear searches: the automaton spelled out with all words of the lexicon where it takes any, those that the
 * description expects there before the others.
 */
export function earGraph(
  automaton: Automaton,
  { freeWords, knownWords }: Pick<Description, 'freeWords' | 'knownWords'>,
  lexicon: Lexicon,
  wakeWord: readonly string[],
): PhoneGraph {
  return createGraph(withWakeWord(automaton, wakeWord), lexicon, {
    free: freeWords,
    known: knownWords,
    rare: lexicon.words,
  });
}

/** The words of an wake word as they are listened for; none when it says nothing. */
export function wakeWords(word: string | null): readonly string[] {
  return word === null
    ? []
    : normalise(word)
        .split(/[ ,]+/)
        .filter((each) => each !== '');
}

/** The weights of an automaton with a wake word of so many words: they are always said, so they cost nothing. */
export const withWakeWordWeights = ({ arc, end, ...more }: ArcWeights, words: number): ArcWeights => {
  const nothing = Array<number>(words).fill(0);
  return { ...more, arc: longer(arc, nothing), end: longer(end, nothing) };
};

function longer<A extends Uint32Array | Float32Array>(old: A, add: readonly number[]): A {
  const made = new (old.constructor as new (length: number) => A)(old.length + add.length);
  made.set(old);
  made.set(add, old.length);
  return made;
}

/**
 * The automaton with these words before every sentence; without them nothing is read. They carry no tag: the note is
 * the same.
 *
 * With the wake word "sprig", "sprig eight paces" means what "eight paces" means without.
 */
export function withWakeWord(automaton: Automaton, wakeWord: readonly string[]): Automaton {
  if (wakeWord.length === 0) return automaton;
  const words = [...automaton.words];
  const wordId = new Map(automaton.wordId);
  const tagSequences = [...automaton.tagSequences];
  let noTags = tagSequences.findIndex((tags) => tags.length === 0);
  if (noTags < 0) noTags = tagSequences.push([]) - 1;
  const { arcFrom, arcTo, arcWord, arcTags, finalFrom, states } = automaton;
  const arcs = arcWord.length;
  const more = wakeWord.length;
  const ids = wakeWord.map((word) => {
    const known = wordId.get(word);
    if (known !== undefined) return known;
    const id = words.push(word) - 1;
    wordId.set(word, id);
    return id;
  });
  return {
    ...automaton,
    words,
    wordId,
    tagSequences,
    ...(automaton.tagsBefore && tagSequences.length > automaton.tagSequences.length
      ? { tagsBefore: longer(automaton.tagsBefore, [0]) }
      : {}),
    ...(automaton.arcWeights
      ? { arcWeights: withWakeWordWeights(automaton.arcWeights, wakeWord.length) }
      : {}),
    // One state a word, behind the others; the last word leads to where sentences began.
    start: states,
    states: states + more,
    arcFrom: longer(
      arcFrom,
      wakeWord.map((_, at) => arcs + at + 1),
    ),
    arcWord: longer(arcWord, ids),
    arcTo: longer(
      arcTo,
      wakeWord.map((_, at) => (at === more - 1 ? automaton.start : states + at + 1)),
    ),
    arcTags: longer(
      arcTags,
      wakeWord.map(() => noTags),
    ),
    finalFrom: longer(
      finalFrom,
      wakeWord.map(() => finalFrom[states]!),
    ),
  };
}
