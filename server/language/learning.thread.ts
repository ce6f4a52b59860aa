/** The thread that makes the language of what a book taught. Started by `learning.ts` only; ends when it has. */

import { parentPort, workerData } from 'node:worker_threads';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { typedGraph } from '../../grammar/reading/understand.ts';
import type { Taught } from '../../shared/book/taught.ts';
import { required } from '../../shared/core/required.ts';
import { keptAutomaton } from './automaton-cache.ts';
import type { Learnt } from './learning.ts';

const { words, names } = workerData as Taught;
// Names change what is expected, not what can be said. Kept on disk too, where the ear finds it.
const automaton = keptAutomaton(withUserWords(grammar, words));
const { automaton: _, lexicon: __, ...graph } = typedGraph(automaton, withUserWords(grammar, words, names));
const learnt: Learnt = { automaton, graph };

/** Memory that is handed over instead of copied: whole, and once. */
const buffers = new Set<ArrayBuffer>();
for (const value of [
  ...Object.values(automaton),
  ...Object.values(automaton.arcWeights ?? {}),
  ...Object.values(graph),
])
  if (
    ArrayBuffer.isView(value) &&
    value.buffer instanceof ArrayBuffer &&
    value.byteLength === value.buffer.byteLength
  )
    buffers.add(value.buffer);
required(parentPort, 'the thread that started this one').postMessage(learnt, [...buffers]);
