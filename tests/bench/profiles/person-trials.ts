/** One voice's day with neither, either and both profiles, after so many notes: what became of every clip. */
import type { ArcWeights, Automaton } from '../../../grammar/automaton/automaton.ts';
import { CacheModel } from '../../../grammar/decoding/cache-model.ts';
import { withConfidence } from '../../../grammar/decoding/confidence.ts';
import { Search, type SearchResult } from '../../../grammar/decoding/search.ts';
import { type LearningParts, learnVoice, type VoiceLesson } from '../../../grammar/learning/learn-voice.ts';
import type { PhoneGraph } from '../../../grammar/pronunciation/phone-graph.ts';
import type { Reader } from '../../../grammar/reading/exact.ts';
import type { AcousticModel } from '../../../server/speech/acoustic.ts';
import { takeHeardFrom } from '../../../shared/dialogue/choosing.ts';
import { noteKey } from '../../../shared/note/note-key.ts';
import { measuresOf } from '../../../shared/sound/confidence.ts';
import { applyOutputLayer, layerOutputs, type OutputLayer } from '../../../shared/sound/output-layer.ts';
import { believed, candidatesOf, type Fate, fate, questionBefore } from '../hearing/fate.ts';
import { type Clip, load } from '../voices/clips.ts';
import type { PersonClips } from '../voices/person.ts';
import { meanings } from '../voices/trials.ts';
import { clean, encodeSamples, type PersonSound, soundsOf } from './person-sounds.ts';

export const profileKinds = ['neither', 'language', 'voice', 'both'] as const;
export type ProfileKind = (typeof profileKinds)[number];
export const lessonCounts = [10, 20, 40, 80] as const;

export type PersonSet = 'day' | 'near' | 'foreign' | 'odd' | 'others';

export interface Outcome {
  readonly set: PersonSet;
  readonly text: string;
  readonly decibels: number;
  readonly kind: ProfileKind;
  /** Notes learnt from; 0 with neither profile. */
  readonly learnt: number;
  readonly right: boolean;
  readonly fate: Fate;
  /** Belief in the best candidate. */
  readonly belief: number;
  /** The measures that confidence weighs, and the share that caps it; null where no note was found. */
  readonly measures: readonly number[] | null;
  readonly posterior: number;
  /** Nats of odds of the best note's best rival; null where none was looked for. */
  readonly rival: number | null;
  /** Other sound under the words, 0 to 1. */
  readonly noise: number;
  readonly rightBySound: boolean;
}

export interface PersonRun {
  readonly outcomes: readonly Outcome[];
  readonly lessons: readonly (VoiceLesson & { readonly learnt: number; readonly seconds: number })[];
  /** Milliseconds in which the language profile took in one note more. */
  readonly noteMs: number;
}

export interface BenchParts {
  readonly model: AcousticModel;
  readonly shipped: OutputLayer;
  readonly graph: PhoneGraph;
  readonly reader: Reader;
}

interface Hearing extends BenchParts {
  readonly search: Search;
  readonly base: ArcWeights;
  readonly cache: CacheModel;
}

function hearingOf(parts: BenchParts): Hearing {
  const automaton: Automaton = parts.graph.automaton;
  if (automaton.arcWeights === undefined) throw new Error('the automaton has no weights');
  const base = automaton.arcWeights;
  return { ...parts, search: new Search(parts.graph), base, cache: new CacheModel(automaton, base) };
}

/** What becomes of a person's sounds with both profiles, learnt from all of `learn`. */
export async function hearWithBoth(
  parts: BenchParts,
  learn: PersonClips['learn'],
  sets: readonly (readonly [PersonSet, readonly PersonSound[]])[],
): Promise<Outcome[]> {
  const hearing = hearingOf(parts);
  const weights = hearing.cache.weights(learn.map(({ text }) => ({ words: text, stood: true })));
  hearing.search.weigh(weights);
  const { layer } = await lessonOf(hearing, learn, weights);
  return sets.flatMap(([set, sounds]) =>
    sounds.map((sound) => outcomeOf(hearing, sound, { set, kind: 'both', learnt: learn.length, layer })),
  );
}

/** Everything that is heard of one voice. */
export async function runPerson(
  parts: BenchParts,
  { learn, test, near }: PersonClips,
  odd: PersonClips['test'],
  others: readonly PersonSound[],
): Promise<PersonRun> {
  const { model } = parts;
  const hearing = hearingOf(parts);
  // A near miss, or a reply of the tool, that is a sentence of the grammar after all is told from a note by nothing.
  const readable = ({ text }: Clip) => meanings(parts.reader, text).size > 0;
  const sets: [PersonSet, readonly PersonSound[]][] = [
    ['day', await soundsOf(model, test.filter(readable), [clean, 10, 0])],
    [
      'near',
      await soundsOf(
        model,
        near.filter((clip) => !readable(clip)),
        [clean, 10],
      ),
    ],
    ['odd', await soundsOf(model, odd.filter(readable), [clean, 10])],
    ['others', others.filter(({ clip }) => !readable(clip))],
  ];
  const outcomes: Outcome[] = [];
  const lessons: (VoiceLesson & { learnt: number; seconds: number })[] = [];
  const hear = (kind: ProfileKind, learnt: number, layer: OutputLayer | null) => {
    for (const [set, sounds] of sets) {
      // How often people are asked about odd notes and strangers does not hang on how many notes were learnt from.
      if ((set === 'odd' || set === 'others') && learnt !== 0 && learnt !== 40) continue;
      for (const sound of sounds) outcomes.push(outcomeOf(hearing, sound, { set, kind, learnt, layer }));
    }
  };
  hear('neither', 0, null);
  let noteMs = 0;
  for (const learnt of lessonCounts) {
    const some = learn.slice(0, learnt);
    const said = some.map(({ text }) => ({ words: text, stood: true }));
    const began = performance.now();
    const weights = hearing.cache.weights(said);
    hearing.search.weigh(weights);
    noteMs = performance.now() - began;
    const lesson = await lessonOf(hearing, some, weights);
    lessons.push({ ...lesson, learnt });
    hear('language', learnt, null);
    hear('both', learnt, lesson.layer);
    hearing.search.weigh(hearing.base);
    hear('voice', learnt, lesson.layer);
  }
  return { outcomes, lessons, noteMs };
}

/** As the program learns; `seconds` of processor time. */
async function lessonOf(
  { model, shipped, reader, search, graph, base }: Hearing,
  clips: PersonClips['learn'],
  weights: ArcWeights,
): Promise<VoiceLesson & { seconds: number }> {
  const parts: LearningParts = {
    hidden: async (samples) => (await encodeSamples(model, samples)).hidden,
    judge: (logp, frames, facts) => withConfidence(heardBy(search, logp, frames), facts),
    asAnybody: (work) => {
      search.weigh(base);
      const done = work();
      search.weigh(weights);
      return done;
    },
    shipped,
    lexicon: graph.lexicon,
    reader,
    keptFrom: takeHeardFrom,
    breathe: async () => {},
  };
  const before = process.cpuUsage();
  const lesson = await learnVoice(
    parts,
    clips.map(({ file, text }) => ({ samples: load(file), words: text })),
  );
  const { user, system } = process.cpuUsage(before);
  return { ...lesson, seconds: (user + system) / 1e6 };
}

function heardBy(search: Search, logp: Float32Array, frames = logp.length / layerOutputs): SearchResult {
  search.reset();
  search.push(logp, frames);
  return search.finish();
}

function outcomeOf(
  { search, reader }: Hearing,
  { clip, at, decibels, hidden, logp, noise }: PersonSound,
  how: Pick<Outcome, 'set' | 'kind' | 'learnt'> & { readonly layer: OutputLayer | null },
): Outcome {
  const { layer, set, kind, learnt } = how;
  const wanted = meanings(reader, clip.text);
  const isNote = set === 'day' || set === 'odd';
  const found = heardBy(search, layer === null ? logp : applyOutputLayer(layer, hidden));
  const candidates = candidatesOf(found, noise, questionBefore(at, isNote ? [...wanted.values()] : []));
  const best = found.hypotheses[0];
  const rightBySound = isNote && best !== undefined && wanted.has(noteKey(best.notes[0]));
  return {
    set,
    text: clip.text,
    decibels,
    kind,
    learnt,
    right: candidates[0] ? isNote && wanted.has(noteKey(candidates[0].notes[0])) : rightBySound,
    fate: fate(candidates),
    belief: believed(candidates),
    measures: best ? measuresOf({ ...best, speechFrames: found.speechFrames, noise }) : null,
    posterior: best?.posterior ?? 0,
    rival: Number.isFinite(found.rival) ? found.rival : null,
    noise,
    rightBySound,
  };
}
