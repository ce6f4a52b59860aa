/**
 * One clip to what it may mean: features, acoustic model, search of the grammar, belief. Runs where it is called
 * and blocks there; servers go through `hear.ts`.
 */
import { grammar, type UserWord, withUserWords } from '../../grammar/grammar.ts';
import { judge } from '../../grammar/judge.ts';
import { createLexicon, type Lexicon } from '../../grammar/lexicon.ts';
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
  /** Hears these words of the user from the next clip on, and none taught before. Blocks about half a second. */
  teach(words: readonly UserWord[]): void;
}

/** Spells the grammar of the program out for the search, with the user's words. Takes a moment: once a process. */
export function ownGraph(words: readonly UserWord[] = [], lexicon: Lexicon = createLexicon()): PhoneGraph {
  const description = words.length === 0 ? grammar : withUserWords(grammar, words);
  return createGraph(keptAutomaton(description), lexicon, description.freeWords);
}

/** Loads the acoustic model of a folder. Throws an Error with a sentence for the user when it cannot. */
export async function loadRecogniser(folder: string, graph?: PhoneGraph): Promise<Recogniser> {
  const model = await loadAcousticModel(folder);
  let search = new Search(graph ?? ownGraph());
  return {
    recognise: (samples) => recognise(model, search, samples),
    teach(words) {
      search = new Search(ownGraph(words));
    },
  };
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
