/**
 * Removes the epsilon moves of a network and makes it deterministic over (word, tags) pairs: subset construction.
 */

import type { Tag } from '../description/tags.ts';
import type { Machine } from './minimise.ts';

/** A symbol is tags x mostWords + word. */
export const mostWords = 1 << 16;

/** A network with epsilon moves, as determinisation sees it: node 0 is its start, node 1 its end. */
interface EpsilonNetwork {
  /** By node, flat triples: to, word, sequence of tags on the word. */
  readonly arcs: readonly (readonly number[])[];
  /** By node, flat pairs: to, tag (-1 none). */
  readonly epsilon: readonly (readonly number[])[];
  readonly names: {
    readonly words: readonly string[];
    readonly wordId: ReadonlyMap<string, number>;
    readonly table: {
      readonly tags: readonly Tag[];
      readonly sequences: readonly (readonly number[])[];
      sequence(ids: readonly number[]): number;
    };
  };
}

/** Stands in a sequence of tags between those before the word and those on it. */
export const wordMark = -1;

/** Arcs of a network node after epsilon removal: per (tags, word) the nodes that it leads to. */
interface Closure {
  /** Flat triples: symbol, to. */
  readonly arcs: readonly number[];
  readonly finals: readonly number[];
}

/** The deterministic machine of a network; state 0 is its start. */
export function determinise(network: EpsilonNetwork): Machine {
  const { table, words, wordId } = network.names;
  const closures: Closure[] = [];
  const closureOf = (node: number): Closure => {
    closures[node] ??= removeEpsilon(network, node);
    return closures[node];
  };
  const members: number[][] = [[0]];
  const arcs: number[][] = [];
  const finals: (readonly number[])[] = [];
  // States by their nodes; most states are one node.
  const single = new Int32Array(network.arcs.length).fill(-1);
  single[0] = 0;
  const several = new Map<string, number>();
  const stateOf = (nodes: number[]): number => {
    if (nodes.length === 1) {
      const node = nodes[0]!;
      if (single[node] === -1) single[node] = members.push(nodes) - 1;
      return single[node]!;
    }
    const key = nodes.join(',');
    let state = several.get(key);
    if (state === undefined) {
      state = members.push(nodes) - 1;
      several.set(key, state);
    }
    return state;
  };
  for (let state = 0; state < members.length; state++) {
    const { arcs: flat, finals: ends } = union(members[state]!.map(closureOf));
    const out: number[] = [];
    for (let i = 0; i < flat.length; ) {
      const symbol = flat[i]!;
      const targets: number[] = [];
      for (; flat[i] === symbol; i += 2) targets.push(flat[i + 1]!);
      out.push(symbol, stateOf(targets));
    }
    arcs.push(out);
    finals.push(ends);
  }
  return {
    words,
    wordId,
    tagSequences: table.sequences.map((ids) =>
      ids.filter((id) => id !== wordMark).map((id) => table.tags[id]!),
    ),
    tagsBefore: table.sequences.map((ids) => (ids.includes(wordMark) ? ids.indexOf(wordMark) : ids.length)),
    arcs,
    finals,
  };
}

/** Arcs and endings of several nodes together, in order, each once. */
function union(closures: readonly Closure[]): Closure {
  if (closures.length === 1) return closures[0]!;
  let all = closures[0]!.arcs;
  for (let at = 1; at < closures.length; at++) all = merge(all, closures[at]!.arcs);
  const finals = new Set(closures.flatMap((closure) => closure.finals));
  return { arcs: all, finals: [...finals].sort((a, b) => a - b) };
}

function merge(a: readonly number[], b: readonly number[]): number[] {
  const merged: number[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length || j < b.length) {
    const order = i === a.length ? 1 : j === b.length ? -1 : a[i]! - b[j]! || a[i + 1]! - b[j + 1]!;
    if (order <= 0) merged.push(a[i]!, a[i + 1]!);
    else merged.push(b[j]!, b[j + 1]!);
    if (order <= 0) i += 2;
    if (order >= 0) j += 2;
  }
  return merged;
}

function removeEpsilon(network: EpsilonNetwork, start: number): Closure {
  const { table } = network.names;
  const seen = new Set<number>();
  const arcs: [number, number][] = [];
  const finals = new Set<number>();
  const nodes = network.epsilon.length;
  const stack: number[] = [start, 0];
  for (;;) {
    const tags = stack.pop();
    const node = stack.pop();
    if (tags === undefined || node === undefined) break;
    const key = tags * nodes + node;
    if (seen.has(key)) continue;
    seen.add(key);
    if (node === 1) finals.add(tags);
    const out = network.arcs[node]!;
    for (let i = 0; i < out.length; i += 3) {
      const onWord = out[i + 2]!;
      const all =
        onWord === 0
          ? tags
          : table.sequence([...table.sequences[tags]!, wordMark, ...table.sequences[onWord]!]);
      const symbol = all * mostWords + out[i + 1]!;

      arcs.push([symbol, out[i]!]);
    }
    const moves = network.epsilon[node]!;
    for (let i = 0; i < moves.length; i += 2) {
      const tag = moves[i + 1]!;
      stack.push(moves[i]!, tag < 0 ? tags : table.sequence([...table.sequences[tags]!, tag]));
    }
  }
  arcs.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const flat: number[] = [];
  arcs.forEach(([symbol, to], i) => {
    if (i === 0 || arcs[i - 1]![0] !== symbol || arcs[i - 1]![1] !== to) flat.push(symbol, to);
  });
  return { arcs: flat, finals: [...finals].sort((a, b) => a - b) };
}
