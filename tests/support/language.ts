/** The whole language as tests need it, put together once for all files that run in one process. */

import { compile } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { createReader, type Reader } from '../../grammar/reading/exact.ts';
import { TolerantReader } from '../../grammar/reading/tolerant.ts';
import { createSpeaker } from '../../grammar/writing/speak.ts';

export const trees = parseDescription(grammar);
export const automaton = compile(grammar);
export const reader: Reader = createReader(automaton);
export const speaker = createSpeaker(trees);

let heard: { graph: ReturnType<typeof createGraph>; tolerant: TolerantReader } | undefined;

/** The language by its sounds, and the reader that forgives slips. */
export function bySound() {
  if (!heard) {
    const graph = createGraph(automaton, createLexicon(), { free: grammar.freeWords });
    heard = { graph, tolerant: new TolerantReader(graph, { fillers: grammar.fillers }) };
  }
  return heard;
}
