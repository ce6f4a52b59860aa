/** What a path through the phone graph will have to pay at least, known from its first phone on. */
import { fillerCost, type PhoneGraph } from '../pronunciation/phone-graph.ts';

/**
 * For every place the least cost, nats, of the words that can still become of it, written to `ahead` and returned;
 * `states`: only for the places of these. A search that pays it on the way gives up hopeless words early and needs a
 * narrower beam.
 */
export function lookaheadCosts(
  graph: PhoneGraph,
  arcCost: Float64Array,
  ahead: Float32Array,
  states: Iterable<number> = Array(graph.automaton.states).keys(),
): Float32Array {
  const { automaton, treeOf, nodeFrom, placeFrom, childFrom, childNode, endFrom, endWord, endSpelling } =
    graph;
  const wordCost = new Float64Array(graph.fillerWord + 1);
  wordCost[graph.fillerWord] = fillerCost;
  for (const state of states) {
    weighWords(automaton, state, arcCost, wordCost);
    const first = nodeFrom[treeOf[state]!]!;
    const offset = placeFrom[state]! - first;
    // Children stand behind their parents.
    for (let node = nodeFrom[treeOf[state]! + 1]! - 1; node >= first; node--) {
      let least = Number.POSITIVE_INFINITY;
      for (let e = endFrom[node]!; e < endFrom[node + 1]!; e++) {
        const word = endWord[e]!;
        const cost = wordCost[word]! + (word === 0 ? graph.freeCost[endSpelling[e]!]! : 0);
        if (cost < least) least = cost;
      }
      for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
        const below = ahead[childNode[c]! + offset]!;
        if (below < least) least = below;
      }
      ahead[node + offset] = least;
    }
  }
  return ahead;
}

/** Writes to `wordCost` what each word costs that leaves a state: that of its cheapest arc. Arcs of one word are neighbours. */
function weighWords(
  { arcFrom, arcWord }: PhoneGraph['automaton'],
  state: number,
  arcCost: Float64Array,
  wordCost: Float64Array,
): void {
  for (let arc = arcFrom[state + 1]! - 1; arc >= arcFrom[state]!; arc--) {
    const word = arcWord[arc]!;
    const again = arc + 1 < arcFrom[state + 1]! && arcWord[arc + 1] === word;
    wordCost[word] = again ? Math.min(wordCost[word]!, arcCost[arc]!) : arcCost[arc]!;
  }
}
