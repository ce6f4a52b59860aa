/** Small word automata for the tests of search and tolerant reader, written out arc by arc. */
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import type { Tag } from '../../grammar/description/tags.ts';

/** from, word, to, and what the word sets: `field=value`, done when the word is read. */
export type SmallArc = readonly [number, string, number, string?];

/** State 0 is the start; `finals` are the states in which a note may end. */
export function smallAutomaton(arcs: readonly SmallArc[], finals: readonly number[]): Automaton {
  const words = ['<any>', ...new Set(arcs.map((arc) => arc[1]).filter((word) => word !== '<any>'))];
  const wordId = new Map(words.map((word, id) => [word, id]));
  const states = Math.max(...arcs.flatMap((arc) => [arc[0], arc[2]]), ...finals) + 1;
  const tagSequences: Tag[][] = [[]];
  const tagsOf = (text: string | undefined): number => {
    if (text === undefined) return 0;
    const [path, value] = text.split('=') as [string, string];
    const tag: Tag = { op: 'const', path, value: /^-?\d+$/.test(value) ? Number(value) : value };
    const known = tagSequences.findIndex((tags) => JSON.stringify(tags) === JSON.stringify([tag]));
    return known >= 0 ? known : tagSequences.push([tag]) - 1;
  };
  const sorted = [...arcs].sort((a, b) => a[0] - b[0] || wordId.get(a[1])! - wordId.get(b[1])!);
  const arcFrom = new Uint32Array(states + 1);
  for (const arc of sorted) arcFrom[arc[0] + 1]!++;
  for (let s = 0; s < states; s++) arcFrom[s + 1]! += arcFrom[s]!;
  const finalFrom = new Uint32Array(states + 1);
  for (let s = 0; s < states; s++) finalFrom[s + 1] = finalFrom[s]! + (finals.includes(s) ? 1 : 0);
  return {
    version: 'small',
    words,
    wordId,
    start: 0,
    states,
    arcFrom,
    arcWord: Uint32Array.from(sorted, (arc) => wordId.get(arc[1])!),
    arcTo: Uint32Array.from(sorted, (arc) => arc[2]),
    arcTags: Uint32Array.from(sorted, (arc) => tagsOf(arc[3])),
    finalFrom,
    finalTags: new Uint32Array(finalFrom[states]!),
    tagSequences,
  };
}
