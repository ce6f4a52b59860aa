/**
 * Compiles the description to the word automaton: patterns to a network with epsilon moves, epsilon removal,
 * determinisation over (word, tags) pairs, minimisation.
 */

import { required } from '../../shared/core/required.ts';
import type { Description } from '../description/model.ts';
import { parseDescription, type Syntax } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import type { Automaton } from './automaton.ts';
import { determinise, mostWords } from './determinise.ts';
import { type Machine, minimise } from './minimise.ts';
import { Network } from './network.ts';
import { withWayBack } from './way-back.ts';

export { parseDescription, type Syntax };

/** Compiles to the minimal automaton. Throws DescriptionError as `parseDescription` does. */
export function compile(description: Description): Automaton {
  return joined(compileTrees(parseDescription(description)), description);
}

/** One note of a description that is parsed already, without a way back. */
export function compileTrees(trees: Syntax): Automaton {
  return assemble(trees.description.version, minimise(determinise(Network.of(trees))));
}

/**
 * Compiles without minimising: tests compare the languages of both.
 * @internal for tests
 */
export function compileUnminimised(description: Description): Automaton {
  const machine = determinise(Network.of(parseDescription(description)));
  return joined(assemble(description.version, machine), description);
}

const joined = (automaton: Automaton, { joining }: Description): Automaton =>
  joining === undefined ? automaton : withWayBack(automaton, joining);

/** Lays the machine out in typed arrays, states before those that they lead to, unused tag sequences dropped. */
function assemble(version: string, machine: Machine): Automaton {
  const order = topologicalOrder(machine);
  const place = new Map<number, number>(order.map((state, at) => [state, at]));
  const sequences: (readonly Tag[])[] = [[]];
  const tagsBefore: number[] = [0];
  const sequencePlace = new Map<number, number>([[0, 0]]);
  const sequence = (id: number): number => {
    let index = sequencePlace.get(id);
    if (index === undefined) {
      index = sequences.length;
      sequencePlace.set(id, index);
      sequences.push(machine.tagSequences[id]!);
      tagsBefore.push(machine.tagsBefore[id]!);
    }
    return index;
  };
  const total = order.reduce((sum, state) => sum + machine.arcs[state]!.length / 2, 0);
  const arcFrom = new Uint32Array(order.length + 1);
  const arcWord = new Uint32Array(total);
  const arcTo = new Uint32Array(total);
  const arcTags = new Uint32Array(total);
  const finalFrom = new Uint32Array(order.length + 1);
  const finalTags: number[] = [];
  let at = 0;
  order.forEach((state, index) => {
    arcFrom[index] = at;
    finalFrom[index] = finalTags.length;
    const arcs = machine.arcs[state]!;
    const rows: [number, number, number][] = [];
    for (let i = 0; i < arcs.length; i += 2) {
      const symbol = arcs[i]!;
      rows.push([
        symbol % mostWords,
        Math.floor(symbol / mostWords),
        required(place.get(arcs[i + 1]!), 'the place of a state'),
      ]);
    }
    rows.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    for (const [word, tags, to] of rows) {
      arcWord[at] = word;
      arcTags[at] = sequence(tags);
      arcTo[at] = to;
      at++;
    }
    for (const tags of machine.finals[state]!) finalTags.push(sequence(tags));
  });
  arcFrom[order.length] = at;
  finalFrom[order.length] = finalTags.length;
  return {
    version,
    words: machine.words,
    wordId: machine.wordId,
    start: 0,
    states: order.length,
    arcFrom,
    arcWord,
    arcTo,
    arcTags,
    finalFrom,
    finalTags: Uint32Array.from(finalTags),
    tagSequences: sequences,
    tagsBefore: Uint32Array.from(tagsBefore),
  };
}

/**
 * The states, each before those that it leads to, the start first; depth first, so that what is said alike in two places
 * is numbered alike, and the numbers of an automaton shrink to two thirds of what they take breadth first.
 */
function topologicalOrder(machine: Machine): number[] {
  const order: number[] = [];
  const seen = new Set<number>([0]);
  const stack = [{ state: 0, next: 1 }];
  for (;;) {
    const top = stack.at(-1);
    if (top === undefined) return order.reverse();
    const to = machine.arcs[top.state]![top.next];
    top.next += 2;
    if (to === undefined) {
      order.push(top.state);
      stack.pop();
    } else if (!seen.has(to)) {
      seen.add(to);
      stack.push({ state: to, next: 1 });
    }
  }
}
