/** Every clip, clean and in noise, through model and search: what the benches of hearing count. */
import { compile } from '../../../grammar/compile.ts';
import { grammar } from '../../../grammar/grammar.ts';
import { createLexicon } from '../../../grammar/lexicon.ts';
import type { Automaton } from '../../../grammar/model.ts';
import { noteKey } from '../../../grammar/notekey.ts';
import { createGraph, type PhoneGraph } from '../../../grammar/phonegraph.ts';
import { createReader, type Reader } from '../../../grammar/read.ts';
import { Search, type SearchResult } from '../../../grammar/search.ts';
import { loadAcousticModel } from '../../../server/speech/acoustic.ts';
import { ownModel } from '../../../server/speech/hear.ts';
import { type Clip, load } from './clips.ts';
import { noisy, seeded } from './noise.ts';

export interface Trial {
  readonly clip: Clip;
  /** Signal to noise, decibels; Infinity is clean. */
  readonly decibels: number;
  readonly found: SearchResult;
  /** The grammar reads the sentence word for word; a frozen sentence may fall out of a grammar that changed. */
  readonly readable: boolean;
  /** The best hypothesis means what the sentence means (any exact reading of it). */
  readonly right: boolean;
  /** ... and its words are the sentence's, or sound the same. */
  readonly wordForWord: boolean;
  readonly seconds: number;
  readonly milliseconds: { readonly features: number; readonly encoder: number; readonly search: number };
}

export interface Ear {
  readonly automaton: Automaton;
  readonly graph: PhoneGraph;
  readonly reader: Reader;
  hear(samples: Float32Array): Promise<Pick<Trial, 'found' | 'milliseconds'>>;
}

/** The model (folder in STEMSAY_MODEL, else the program's own) and a search of the automaton, in this process. */
export async function createEar(description = grammar): Promise<Ear> {
  const model = await loadAcousticModel(process.env.STEMSAY_MODEL ?? ownModel);
  const automaton = compile(description);
  const graph = createGraph(automaton, createLexicon(), description.freeWords);
  const search = new Search(graph);
  return {
    automaton,
    graph,
    reader: createReader(automaton),
    async hear(samples) {
      const acoustics = await model.run(samples);
      const start = performance.now();
      search.reset();
      search.push(acoustics.logp, acoustics.frames);
      const found = search.finish();
      return { found, milliseconds: { ...acoustics.milliseconds, search: performance.now() - start } };
    },
  };
}

/** Keys of all notes that a sentence may mean; empty when the grammar does not know it word for word. */
export function meanings(reader: Reader, text: string): Set<string> {
  const read = reader.read(text);
  return new Set(read.ok ? read.value.map((reading) => noteKey(reading.note)) : []);
}

const plain = (text: string) => text.toLowerCase().replace(/[^a-z' ]/g, '');

/** Runs all clips at each signal-to-noise ratio; the noise follows from the clip's place in the list. */
export async function runTrials(
  ear: Ear,
  clips: readonly Clip[],
  ratios: readonly number[],
): Promise<Trial[]> {
  const trials: Trial[] = [];
  const sounds = (text: string) =>
    plain(text)
      .split(' ')
      .map((word) => ear.graph.lexicon.pronounce(word).join('/'))
      .join(' ');
  for (const [i, clip] of clips.entries()) {
    const samples = load(clip.file);
    const wanted = meanings(ear.reader, clip.text);
    for (const decibels of ratios) {
      const { found, milliseconds } = await ear.hear(noisy(samples, decibels, seeded(i + 1)));
      const best = found.hypotheses[0];
      const words = best?.words.map((word) => word.word).join(' ') ?? '';
      trials.push({
        clip,
        decibels,
        found,
        readable: wanted.size > 0,
        right: best !== undefined && wanted.has(noteKey(best.note)),
        wordForWord: words === plain(clip.text) || (words !== '' && sounds(words) === sounds(clip.text)),
        seconds: samples.length / 16000,
        milliseconds,
      });
    }
  }
  return trials;
}

/** Value below which the share `part` of the list lies. */
export function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}
