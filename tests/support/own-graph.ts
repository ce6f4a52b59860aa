/** The program's own grammar spelled out in phones, as the ear searches it. */
import { earGraph } from '../../grammar/decoding/wake-word.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { heardLanguage } from '../../server/speech/recognizer.ts';

export function ownGraph(): PhoneGraph {
  const { automaton, description } = heardLanguage();
  return earGraph(automaton, description, createLexicon(), []);
}
