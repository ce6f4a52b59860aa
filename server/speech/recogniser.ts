/**
 * One clip to what it may mean: features, acoustic model, search of the grammar, belief. Runs where it is called
 * and blocks there; servers go through `hear.ts`.
 */
import { grammar } from '../../grammar/grammar.ts';
import { judge } from '../../grammar/judge.ts';
import { createLexicon } from '../../grammar/lexicon.ts';
import { createGraph, type PhoneGraph } from '../../grammar/phonegraph.ts';
import { Search } from '../../grammar/search.ts';
import { err, ok, type Result } from '../../shared/result.ts';
import { sampleRate } from '../../shared/sound/logmel.ts';
import { longest } from '../audio.ts';
import { keptAutomaton } from '../automaton.ts';
import { type AcousticModel, loadAcousticModel } from './acoustic.ts';
import type { Heard, Refusal } from './heard.ts';

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
  const judged = judge(found, samples.length / sampleRate);
  return judged.ok ? ok({ ...judged.value, phones, timings }) : err({ ...judged.error, phones, timings });
}
