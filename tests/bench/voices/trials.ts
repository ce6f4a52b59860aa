/** Every clip, clean and in noise, through model and search: what the benches of hearing count. */

import type { Automaton } from '../../../grammar/automaton/automaton.ts';
import { compile } from '../../../grammar/automaton/compile.ts';
import { Search, type SearchResult } from '../../../grammar/decoding/search.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import type { Description } from '../../../grammar/description/model.ts';
import { createLexicon } from '../../../grammar/pronunciation/lexicon.ts';
import { createGraph, type PhoneGraph } from '../../../grammar/pronunciation/phone-graph.ts';
import { createReader, type Reader } from '../../../grammar/reading/exact.ts';
import { places } from '../../../server/program/places.ts';
import { loadAcousticModel } from '../../../server/speech/acoustic.ts';
import type { Candidate, Note } from '../../../shared/note/note.ts';
import { noteKey } from '../../../shared/note/note-key.ts';
import { ownGraph } from '../../support/own-graph.ts';
import { candidatesOf, questionBefore } from '../hearing/fate.ts';
import { slotErrors } from '../hearing/slots.ts';
import { type Clip, load, plan } from './clips.ts';
import { babble, type Noise, noisy, seeded, soundscapes } from './noise.ts';
import { keptSoundings } from './soundings.ts';

export { quantile } from '../hearing/statistics.ts';

export interface Trial {
  readonly clip: Clip;
  /** Signal to noise, decibels; Infinity is clean. */
  readonly decibels: number;
  /** What was laid over it. */
  readonly noise: string;
  readonly found: SearchResult;
  /** Other sound under the words, 0 to 1, as the ear takes it to be. */
  readonly noisiness: number;
  /** What the session makes of it at this point of the talk, best first. */
  readonly candidates: readonly Candidate[];
  /** The grammar reads the sentence word for word; a frozen sentence may fall out of a grammar that changed. */
  readonly readable: boolean;
  /** The best candidate means what the sentence means (any exact reading of it); where there is none, the best hypothesis. */
  readonly right: boolean;
  /** The same of the best hypothesis: by the sound alone. */
  readonly rightBySound: boolean;
  /** ... and its words are the sentence's, or sound the same. */
  readonly wordForWord: boolean;
  /** A name or a remark stands in it: words that may be any. */
  readonly named: boolean;
  /** Fields of the note that are wrong, of the reading that it comes nearest to. */
  readonly slots: { readonly wrong: number; readonly all: number };
  readonly seconds: number;
  readonly searchMs: number;
}

export interface Ear {
  readonly automaton: Automaton;
  readonly graph: PhoneGraph;
  readonly reader: Reader;
  /** Hears anew; `milliseconds` by part. */
  hear(samples: Float32Array): Promise<{
    readonly found: SearchResult;
    readonly milliseconds: { readonly features: number; readonly encoder: number; readonly search: number };
  }>;
  /** The same, with what the model answered before where it was kept; `name` says all that the samples follow from. */
  hearKept(
    name: string,
    samples: () => Float32Array,
  ): Promise<{ found: SearchResult; noise: number; searchMs: number }>;
}

/** The folder of the model that is measured: STEMSAY_MODEL, else the program's own. */
export const measuredModel = (): string => process.env.STEMSAY_MODEL ?? places.model;

/** A model and a search of the description's automaton, in this process. */
export async function createEar(description: Description = grammar, folder = measuredModel()): Promise<Ear> {
  const model = await loadAcousticModel(folder);
  const graph =
    description === grammar
      ? ownGraph()
      : createGraph(compile(description), createLexicon(), { free: description.freeWords });
  const search = new Search(graph);
  const kept = keptSoundings(folder, model);
  const look = (logp: Float32Array, frames: number) => {
    const start = performance.now();
    search.reset();
    search.push(logp, frames);
    const found = search.finish();
    return { found, searchMs: performance.now() - start };
  };
  return {
    automaton: graph.automaton,
    graph,
    reader: createReader(graph.automaton),
    async hear(samples) {
      const { logp, frames, milliseconds } = await model.run(samples);
      const { found, searchMs } = look(logp, frames);
      return { found, milliseconds: { ...milliseconds, search: searchMs } };
    },
    async hearKept(name, samples) {
      const { logp, frames, noise } = await kept(name, samples);
      return { ...look(logp, frames), noise };
    },
  };
}

/** All notes that a sentence may mean; empty when the grammar does not know it word for word. */
export function meanings(reader: Reader, text: string): Map<string, Note> {
  const read = reader.read(text);
  return new Map(read.ok ? read.value.map((reading) => [noteKey(reading.notes[0]), reading.notes[0]]) : []);
}

/** Fields that hold words of anybody's choice. */
const isNamed = (note: Note): boolean => /"(name|text|word|stand|stratum)":"/.test(JSON.stringify(note));

const plain = (text: string) => text.toLowerCase().replace(/[^a-z' ]/g, '');

let talkers: Float32Array[] | undefined;
/** Noises that take turns over the clips. STEMSAY_NOISE=pink lays that one over all of them. */
const noises: readonly (readonly [string, Noise])[] = [
  ['pink', soundscapes.pink!],
  ['wind', soundscapes.wind!],
  ['birds', soundscapes.birds!],
  ['engine', soundscapes.saw!],
  [
    'babble',
    (length, random) => {
      talkers ??= plan()
        .filter(({ set, engine }) => set === 'talk' && engine === 'flite')
        .slice(0, 60)
        .map(({ file }) => load(file));
      return babble(length, random, talkers);
    },
  ],
];

export function noiseOf(turn: number): readonly [string, Noise] {
  const wanted = noises.filter(([name]) => name === process.env.STEMSAY_NOISE);
  const list = wanted.length > 0 ? wanted : noises;
  return list[turn % list.length]!;
}

/** Runs the clips at each signal-to-noise ratio; kind and seed of the noise follow from the clip's place in the list. */
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
    const [noise, make] = noiseOf(i);
    for (const decibels of ratios) {
      const name = `${clip.voice}/${clip.text}/${clip.speed}/${decibels === Number.POSITIVE_INFINITY ? 'clean' : `${noise}${decibels}/${i + 1}`}`;
      const heard = await ear.hearKept(name, () => noisy(samples, decibels, seeded(i + 1), make));
      const { found, searchMs } = heard;
      const best = found.hypotheses[0];
      const candidates = candidatesOf(found, heard.noise, questionBefore(i, [...wanted.values()]));
      const rightBySound = best !== undefined && wanted.has(noteKey(best.notes[0]));
      const words = best?.words.map((word) => word.word).join(' ') ?? '';
      const slots = [...wanted.values()]
        .map((note) => slotErrors(note, best?.notes[0]))
        .sort((a, b) => a.wrong - b.wrong)[0];
      trials.push({
        clip,
        decibels,
        noise: decibels === Number.POSITIVE_INFINITY ? 'none' : noise,
        found,
        noisiness: heard.noise,
        candidates,
        named: [...wanted.values()].some(isNamed),
        readable: wanted.size > 0,
        right: candidates[0] ? wanted.has(noteKey(candidates[0].notes[0])) : rightBySound,
        rightBySound,
        wordForWord: words === plain(clip.text) || (words !== '' && sounds(words) === sounds(clip.text)),
        slots: slots ?? { wrong: 0, all: 0 },
        seconds: samples.length / 16000,
        searchMs,
      });
    }
  }
  return trials;
}
