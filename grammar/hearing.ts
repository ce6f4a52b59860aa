/**
 * Everything that turns sounds, or words that are not quite the grammar's, into notes: lexicon, phone graph, CTC
 * search and tolerant reader under one name.
 */
export { type Decision, decide, decisionLimits } from './decide.ts';
export { phoneDistance, slipCost } from './distance.ts';
export { arpabetOf, createLexicon, type Lexicon, type Pronunciation, phones, phonesOf } from './lexicon.ts';
export { createGraph, type PhoneGraph } from './phonegraph.ts';
export type { HeardWord } from './scoresheet.ts';
export {
  type Hypothesis,
  type PartialResult,
  Search,
  type SearchOptions,
  type SearchResult,
  search,
} from './search.ts';
export { type TolerantOptions, TolerantReader, type TolerantReading } from './tolerant.ts';
