/**
 * The way back from the ends of the automaton to its start, for several notes in one breath: one state more, reached
 * without a word from wherever a note may end.
 *
 * Measured: as arcs from every end it would be 1 129 ends times 738 first words, seven times the automaton; as one
 * state it is a hundredth of it, and who reads one note alone never sees it.
 */
import type { ArcWeights, Automaton } from './automaton.ts';

/** How seldom a word joins two notes rather than none, nats. By judgement: common practice, no source. */
const joiningCost = 1.5;

/**
 * The automaton with its way back. `joining` are words that stand between two notes and mean nothing there; those later
 * in the list may follow earlier ones ("and then"). Words that the automaton does not know are added to it.
 *
 * With "and" and "then" as joining words, "twelve paces and then two logs" is two notes.
 */
export function withWayBack(automaton: Automaton, joining: readonly string[]): Automaton {
  const { start, states, arcFrom, arcWord, arcTo, arcTags, finalFrom } = automaton;
  const words = [...automaton.words];
  const wordId = new Map(automaton.wordId);
  const ids = joining.map((word) => {
    const known = wordId.get(word);
    if (known !== undefined) return known;
    wordId.set(word, words.length);
    return words.push(word) - 1;
  });
  const tagSequences = [...automaton.tagSequences];
  let noTags = tagSequences.findIndex((tags) => tags.length === 0);
  if (noTags < 0) noTags = tagSequences.push([]) - 1;
  const first = Array.from({ length: arcFrom[start + 1]! - arcFrom[start]! }, (_, i) => {
    const arc = arcFrom[start]! + i;
    return { word: arcWord[arc]!, to: arcTo[arc]!, tags: arcTags[arc]! };
  });
  // Behind a joining word stands a state that takes the later ones; behind the last one the start itself.
  const more = Math.max(1, joining.length);
  const behind = (joined: number): number => (joined + 1 < joining.length ? states + joined + 1 : start);
  const rows = Array.from({ length: more }, (_, state) =>
    [...first, ...ids.slice(state).map((word, i) => ({ word, to: behind(state + i), tags: noTags }))].sort(
      (a, b) => a.word - b.word,
    ),
  );
  const arcs = rows.flat();
  const froms = rows.map((_, state) =>
    rows.slice(0, state + 1).reduce((sum, row) => sum + row.length, arcWord.length),
  );
  return {
    ...automaton,
    words,
    wordId,
    tagSequences,
    ...(automaton.tagsBefore && tagSequences.length > automaton.tagSequences.length
      ? { tagsBefore: longer(automaton.tagsBefore, [0]) }
      : {}),
    again: states,
    states: states + more,
    arcFrom: longer(arcFrom, froms),
    arcWord: longer(
      arcWord,
      arcs.map(({ word }) => word),
    ),
    arcTo: longer(
      arcTo,
      arcs.map(({ to }) => to),
    ),
    arcTags: longer(
      arcTags,
      arcs.map(({ tags }) => tags),
    ),
    finalFrom: longer(
      finalFrom,
      rows.map(() => finalFrom[states]!),
    ),
  };
}

/** Costs of the way back: a note that goes on begins as one that begins; nobody draws sentences of several. */
export function withWayBackCosts(automaton: Automaton, costs: ArcWeights): ArcWeights {
  const { again, states, start, arcFrom, arcTo, arcTags, arcWord } = automaton;
  if (again === undefined) return costs;
  const arc = costs.arc.slice();
  const key = (a: number): string => `${arcWord[a]} ${arcTo[a]} ${arcTags[a]}`;
  const atStart = new Map<string, number>();
  for (let a = arcFrom[start]!; a < arcFrom[start + 1]!; a++) atStart.set(key(a), arc[a]!);
  for (let a = arcFrom[again]!; a < arcFrom[states]!; a++) arc[a] = atStart.get(key(a)) ?? joiningCost;
  return { ...costs, arc };
}

function longer(old: Uint32Array, add: readonly number[]): Uint32Array {
  const made = new Uint32Array(old.length + add.length);
  made.set(old);
  made.set(add, old.length);
  return made;
}
