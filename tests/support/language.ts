/** The whole language as tests need it, put together once for all files that run in one process. */

import { createGraph, createLexicon, TolerantReader } from '../../grammar/hearing.ts';
import {
  compile,
  createReader,
  createSpeaker,
  grammar,
  parseDescription,
  type Reader,
} from '../../grammar/index.ts';

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
