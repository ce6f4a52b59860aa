/**
 * Everything that turns sounds, or words that are not quite the grammar's, into notes: lexicon, phone graph, CTC
 * search and tolerant reader under one name.
 */

export type { HeardWord } from './decoding/ctc-forward.ts';
export {
  type Hypothesis,
  type PartialResult,
  Search,
  type SearchOptions,
  type SearchResult,
  search,
} from './decoding/search.ts';
export {
  arpabetOf,
  createLexicon,
  type Lexicon,
  type Pronunciation,
  phones,
  phonesOf,
} from './pronunciation/lexicon.ts';
export { phoneDistance, slipCost } from './pronunciation/phone-confusion.ts';
export { createGraph, type PhoneGraph } from './pronunciation/phone-graph.ts';
export { type Decision, decide, decisionLimits } from './reading/decide.ts';
export { type TolerantOptions, TolerantReader, type TolerantReading } from './reading/tolerant.ts';
