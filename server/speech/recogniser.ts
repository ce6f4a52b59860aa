/**
 * One clip to what it may mean: features, acoustic model, search of the grammar, belief. Runs where it is called
 * and blocks there; servers go through `hear.ts`.
 */
import { grammar } from '../../grammar/grammar.ts';
import { createLexicon } from '../../grammar/lexicon.ts';
import { createGraph, type PhoneGraph } from '../../grammar/phonegraph.ts';
import { type Hypothesis, Search, type SearchResult } from '../../grammar/search.ts';
import type { Heard as HeardFacts } from '../../shared/journal.ts';
import { err, ok, type Result } from '../../shared/result.ts';
import { belief, leastSpeechFrames, refuseBelow } from '../../shared/sound/belief.ts';
import { sampleRate } from '../../shared/sound/logmel.ts';
import { longest } from '../audio.ts';
import { keptAutomaton } from '../automaton.ts';
import { type AcousticModel, frameSeconds, loadAcousticModel, restSeconds } from './acoustic.ts';
import type { Heard, Refusal, Timings } from './heard.ts';

export interface Recogniser {
  /** Samples: 16 kHz, mono, -1 to 1. */
  recognise(samples: Float32Array): Promise<Result<Heard, Refusal>>;
}

/** Spells the grammar of the program out for the search. Takes a moment: once a process. */
export function ownGraph(): PhoneGraph {
  return createGraph(keptAutomaton(grammar), createLexicon(), grammar.freeWords);
}

/** Loads the acoustic model of a folder. Throws an Error with a sentence for the user when it cannot. */
export async function loadRecogniser(folder: string, graph?: PhoneGraph): Promise<Recogniser> {
  const model = await loadAcousticModel(folder);
  const search = new Search(graph ?? ownGraph());
  return { recognise: (samples) => recognise(model, search, samples) };
}

async function recognise(
  model: AcousticModel,
  search: Search,
  samples: Float32Array,
): Promise<Result<Heard, Refusal>> {
  if (samples.length > longest * sampleRate) {
    const message = `A clip may last ${longest} s; this one lasts ${(samples.length / sampleRate).toFixed(1)} s.`;
    return err({ kind: 'tooLong', message, phones: '', timings: { features: 0, encoder: 0, search: 0 } });
  }
  const acoustics = await model.run(samples);
  const start = performance.now();
  search.reset();
  search.push(acoustics.logp, acoustics.frames);
  const found = search.finish();
  const timings = { ...acoustics.milliseconds, search: performance.now() - start };
  const phones = Array.from(found.phones, (phone) => model.phones[phone]!).join(' ');
  const seconds = samples.length / sampleRate;
  /** Frame of the model to seconds of the clip. */
  const clock = (frame: number) =>
    Math.round(Math.min(seconds, Math.max(0, frame * frameSeconds - restSeconds)) * 1000) / 1000;
  return judge(found, phones, timings, clock);
}

/** From what the search found to what is told: belief, word times by the clip's clock, or why it was refused. */
function judge(
  found: SearchResult,
  phones: string,
  timings: Timings,
  clock: (frame: number) => number,
): Result<Heard, Refusal> {
  if (found.speechFrames < leastSpeechFrames) {
    return err({ kind: 'nothing', message: 'Nothing was said, or too softly.', phones, timings });
  }
  const best = found.hypotheses[0];
  const believed = best ? belief({ ...best, speechFrames: found.speechFrames }) : 0;
  if (!best || believed < refuseBelow) {
    return err({
      kind: 'unclear',
      message: 'That was no note that I know. Say it again or type it.',
      phones,
      timings,
    });
  }
  // Belief in the best takes in that something else may have been said; the others keep their shares beside it.
  const share = Math.min(1, believed / best.posterior);
  const candidates = found.hypotheses.map((hypothesis) => ({
    note: hypothesis.note,
    words: wordsOf(hypothesis),
    posterior: hypothesis.posterior * share,
  }));
  const facts: HeardFacts = {
    margin: best.worst,
    posterior: candidates[0]!.posterior,
    times: best.words.map(({ word, from, to }) => ({
      word,
      from: clock(from),
      to: clock(to),
    })),
  };
  return ok({ candidates, facts, phones, timings });
}

const wordsOf = (hypothesis: Hypothesis): string => hypothesis.words.map((word) => word.word).join(' ');
