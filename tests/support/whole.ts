/** What grows with the sound, given a whole clip at once. */
import { Search, type SearchOptions, type SearchResult } from '../../grammar/decoding/search.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { type LogMel, LogMelStream } from '../../shared/sound/log-mel.ts';

/** Searches one whole utterance: `frames` rows of log probabilities. */
export function search(
  graph: PhoneGraph,
  logp: Float32Array,
  frames?: number,
  options: SearchOptions = {},
): SearchResult {
  const run = new Search(graph, options);
  run.push(logp, frames);
  return run.finish();
}

/** Features of a whole clip, samples -1 to 1 at 16 kHz. */
export function logMel(samples: Float32Array): LogMel {
  const stream = new LogMelStream();
  stream.push(samples);
  return stream.end();
}
