/**
 * Learns one voice from clips whose words are known, and tells whether it is heard better for it: on clips that were
 * held out, clean and in noise, and no near miss is kept that was not before. Near misses are made of the held-out clips
 * themselves, with one word of each played backwards: the same voice, and no word of any language.
 */
import { seeded } from '../../shared/core/random.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { applyOutputLayer, layerOutputs, type OutputLayer } from '../../shared/sound/output-layer.ts';
import { withPinkNoise } from '../../shared/sound/pink-noise.ts';
import type { ClipResult } from '../decoding/clip-result.ts';
import type { Lexicon } from '../pronunciation/lexicon.ts';
import type { Reader } from '../reading/exact.ts';
import { ctcTarget } from './ctc-target.ts';
import { type FitClip, fitOutputLayer } from './fit-output-layer.ts';

/** A clip and the words that were said in it, small letters. */
export interface KnownClip {
  /** 16 kHz, mono, -1 to 1. */
  readonly samples: Float32Array;
  readonly words: string;
}

/** What learning needs of hearing. */
export interface LearningParts {
  /** What the encoder makes of a clip; null where the model does not tell it. */
  hidden(samples: Float32Array): Promise<Float32Array | null>;
  /** The search and the judgement of log probabilities. */
  judge(logp: Float32Array, frames: number, seconds: number): ClipResult;
  readonly shipped: OutputLayer;
  readonly lexicon: Lexicon;
  readonly reader: Reader;
  /** Belief from which a note is kept without a question. */
  readonly keptFrom: number;
  /** Lets others do something in between. */
  breathe(): Promise<void>;
}

/** How clips are heard: by number kept right without a question, kept wrong, and mean belief in what was said. */
interface VoiceMark {
  readonly kept: number;
  readonly wrong: number;
  readonly belief: number;
}

export interface VoiceMarks {
  readonly clean: VoiceMark;
  readonly noise: VoiceMark;
  /** Near misses that were kept. */
  readonly near: number;
}

export interface VoiceLesson {
  /** The fitted layer; null where it is not to be used. */
  readonly layer: OutputLayer | null;
  /** Clips in all, and those of them that were held out to judge by. */
  readonly clips: number;
  readonly heldOut: number;
  /** Of the held-out clips: as anybody is heard, and by a layer that was fitted to the others. */
  readonly before: VoiceMarks;
  readonly after: VoiceMarks;
}

export const lessonLimits = {
  /** Fewer clips than this teach nothing that could be judged. */
  least: 15,
  /** The latest count; more take longer and hardly help. */
  most: 80,
  /** Seconds of a clip: one window of the model. */
  seconds: 11,
} as const;
/** Every third clip is held out, at most so many. */
const heldOutEvery = 3;
const mostHeldOut = 12;
/** Noise is laid over clips to learn from, twice, between so many decibels; and over those to judge by. */
const learntNoise = [
  { least: 2, most: 6 },
  { least: 6, most: 12 },
] as const;
const judgedNoise = [10, 3] as const;
/** A belief that is less by so little counts as the same. */
const slack = 0.005;
/** A gain in belief, clean and in noise together, below which it is not worth hearing otherwise than everybody is heard. */
const leastGain = 0.01;

/** Clips of a voice to a layer of its own, or none. Never rejects for what the clips hold; the same clips give the same layer. */
export async function learnVoice(parts: LearningParts, given: readonly KnownClip[]): Promise<VoiceLesson> {
  const clips = given.filter((clip) => isFit(parts, clip)).slice(-lessonLimits.most);
  const held = clips.filter((_, i) => i % heldOutEvery === 1).slice(-mostHeldOut);
  const others = clips.filter((clip) => !held.includes(clip));
  const nothing: VoiceMarks = { clean: noMark, noise: noMark, near: 0 };
  const refused = (marks = { before: nothing, after: nothing }): VoiceLesson => ({
    layer: null,
    clips: clips.length,
    heldOut: held.length,
    ...marks,
  });
  if (clips.length < lessonLimits.least) return refused();
  const lessons = await lessonsOf(parts, others);
  const trials = await trialsOf(parts, held);
  if (lessons === null || trials === null) return refused();
  const trial = await fitted(parts, lessons);
  const marks = { before: marked(parts, trials, null), after: marked(parts, trials, trial) };
  if (!isBetter(marks.before, marks.after)) return refused(marks);
  const more = await lessonsOf(parts, held);
  const layer = more === null ? trial : await fitted(parts, [...lessons, ...more]);
  return { layer, clips: clips.length, heldOut: held.length, ...marks };
}

const noMark: VoiceMark = { kept: 0, wrong: 0, belief: 0 };

/** Held-out clips are heard better, nowhere worse, and no more near misses are kept. */
export function isBetter(before: VoiceMarks, after: VoiceMarks): boolean {
  const nowhereWorse = (['clean', 'noise'] as const).every(
    (how) =>
      after[how].kept >= before[how].kept &&
      after[how].wrong <= before[how].wrong &&
      after[how].belief >= before[how].belief - slack,
  );
  const gain =
    after.clean.belief + after.noise.belief >= before.clean.belief + before.noise.belief + leastGain ||
    after.clean.kept + after.noise.kept > before.clean.kept + before.noise.kept;
  return nowhereWorse && gain && after.near <= before.near;
}

function isFit({ reader }: LearningParts, { samples, words }: KnownClip): boolean {
  const seconds = samples.length / sampleRate;
  return words !== '' && seconds > 0.2 && seconds <= lessonLimits.seconds && reader.read(words).ok;
}

/** Each clip as it is, and twice with noise over it. */
async function lessonsOf(parts: LearningParts, clips: readonly KnownClip[]): Promise<FitClip[] | null> {
  const lessons: FitClip[] = [];
  for (const { samples, words } of clips) {
    const target = ctcTarget(
      parts.lexicon,
      words.split(/[\s,]+/).filter((word) => word !== ''),
    );
    const random = seeded(samples.length);
    const noises = learntNoise.map(({ least, most }) =>
      withPinkNoise(samples, least + (most - least) * random(), random),
    );
    for (const sound of [samples, ...noises]) {
      const hidden = await parts.hidden(sound);
      if (hidden === null) return null;
      lessons.push({ hidden, target });
      await parts.breathe();
    }
  }
  return lessons;
}

async function fitted(parts: LearningParts, lessons: readonly FitClip[]): Promise<OutputLayer> {
  const steps = fitOutputLayer(lessons, parts.shipped);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    await parts.breathe();
  }
}

interface VoiceTrial {
  readonly how: 'clean' | 'noise' | 'near';
  readonly hidden: Float32Array;
  readonly seconds: number;
  /** What it may mean. */
  readonly wanted: ReadonlySet<string>;
}

async function trialsOf(parts: LearningParts, held: readonly KnownClip[]): Promise<VoiceTrial[] | null> {
  const trials: VoiceTrial[] = [];
  for (const { samples, words } of held) {
    const read = parts.reader.read(words);
    const wanted = new Set(read.ok ? read.value.map(({ notes }) => notesKey(notes)) : []);
    const random = seeded(samples.length + 1);
    const sounds: [VoiceTrial['how'], Float32Array][] = [
      ['clean', samples],
      ...judgedNoise.map((decibels): [VoiceTrial['how'], Float32Array] => [
        'noise',
        withPinkNoise(samples, decibels, random),
      ]),
    ];
    for (const [how, sound] of sounds) {
      const hidden = await parts.hidden(sound);
      if (hidden === null) return null;
      trials.push({ how, hidden, seconds: samples.length / sampleRate, wanted });
      await parts.breathe();
      if (how !== 'clean') continue;
      const foreign = withWordBackwards(parts, samples, hidden);
      const near = foreign === null ? null : await parts.hidden(foreign);
      if (near !== null)
        trials.push({ how: 'near', hidden: near, seconds: samples.length / sampleRate, wanted: new Set() });
    }
  }
  return trials;
}

/** The clip with its longest word played backwards; null where it is not known where its words lie. */
function withWordBackwards(
  { judge, shipped }: LearningParts,
  samples: Float32Array,
  hidden: Float32Array,
): Float32Array | null {
  const logp = applyOutputLayer(shipped, hidden);
  const heard = judge(logp, logp.length / layerOutputs, samples.length / sampleRate);
  const times = heard.ok ? (heard.value.facts.times ?? []) : [];
  const longest = [...times].sort((a, b) => b.to - b.from - (a.to - a.from))[0];
  if (longest === undefined) return null;
  const foreign = samples.slice();
  foreign.subarray(Math.round(longest.from * sampleRate), Math.round(longest.to * sampleRate)).reverse();
  return foreign;
}

function marked(
  { judge, keptFrom, shipped }: LearningParts,
  trials: readonly VoiceTrial[],
  layer: OutputLayer | null,
): VoiceMarks {
  const sums = { clean: { ...noMark, of: 0 }, noise: { ...noMark, of: 0 }, near: 0 };
  for (const { how, hidden, seconds, wanted } of trials) {
    const logp = applyOutputLayer(layer ?? shipped, hidden);
    const heard = judge(logp, logp.length / layerOutputs, seconds);
    const candidates = heard.ok ? heard.value.candidates : [];
    const isKept = (candidates[0]?.posterior ?? 0) >= keptFrom;
    if (how === 'near') {
      sums.near += isKept ? 1 : 0;
      continue;
    }
    const sum = sums[how];
    const isRight = candidates[0] !== undefined && wanted.has(notesKey(candidates[0].notes));
    const belief = candidates
      .filter(({ notes }) => wanted.has(notesKey(notes)))
      .reduce((most, { posterior }) => most + posterior, 0);
    sums[how] = {
      kept: sum.kept + (isKept && isRight ? 1 : 0),
      wrong: sum.wrong + (isKept && !isRight ? 1 : 0),
      belief: sum.belief + belief,
      of: sum.of + 1,
    };
  }
  const mean = ({ kept, wrong, belief, of }: VoiceMark & { of: number }): VoiceMark => ({
    kept,
    wrong,
    belief: belief / Math.max(1, of),
  });
  return { clean: mean(sums.clean), noise: mean(sums.noise), near: sums.near };
}
