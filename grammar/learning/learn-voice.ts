/**
 * Learns one voice from clips whose words are known, and tells whether it is heard better for it: each clip is held out
 * once, clean and in noise, and heard as anybody is and by a layer that was fitted to the others. Near misses are made of the
 * clips themselves, with one word of each played backwards: the same voice, and no word of any language. A clip is one
 * pair; what all pairs say is tested (`isBetter`).
 */
import { seeded } from '../../shared/core/random.ts';
import type { Notes } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { noiseLevelOf } from '../../shared/sound/noise-level.ts';
import { applyOutputLayer, layerOutputs, type OutputLayer } from '../../shared/sound/output-layer.ts';
import { withPinkNoise } from '../../shared/sound/pink-noise.ts';
import type { ClipResult } from '../decoding/clip-result.ts';
import type { ClipFacts } from '../decoding/confidence.ts';
import type { Lexicon } from '../pronunciation/lexicon.ts';
import type { Reader } from '../reading/exact.ts';
import { ctcTarget } from './ctc-target.ts';
import { type FitClip, fitOutputLayer } from './fit-output-layer.ts';
import { lessonLimits } from './lesson-limits.ts';

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
  judge(logp: Float32Array, frames: number, facts: ClipFacts): ClipResult;
  /** Does at once what judges, without what this person usually says: the clips are of it. */
  asAnybody<T>(work: () => T): T;
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

interface VoiceMarks {
  readonly clean: VoiceMark;
  readonly noise: VoiceMark;
  /** Near misses that were kept. */
  readonly near: number;
}

/** What a clip gained, by how surely notes are kept, 0 to 1. */
interface ClipGain {
  /** How much more surely it is kept right, clean and in noise. */
  readonly kept: number;
  /** The same less the price of being kept wrong, and of its near misses. */
  readonly worth: number;
}

export interface VoiceLesson {
  /** The fitted layer; null where it is not to be used. */
  readonly layer: OutputLayer | null;
  readonly clips: number;
  /** The clips, each held out once: as anybody is heard, and by a layer that was fitted to the others. */
  readonly before: VoiceMarks;
  readonly after: VoiceMarks;
  /** What each clip is better heard. */
  readonly gains: readonly ClipGain[];
}

/** Parts of the clips; each is held out once. */
const heldOutParts = 3;
/** Noise is laid over each clip, twice, between so many decibels: to learn from, and to judge by while it is held out. */
const overlaid = [
  { least: 2, most: 6 },
  { least: 6, most: 12 },
] as const;
/** What a note kept wrong costs, and a near miss kept, in notes kept right. */
const price = { wrong: 2, near: 1 } as const;
/**
 * The test whether a voice is heard better: its clips are kept right more surely by at least `least` on the mean, and what
 * that is worth is at least so many standard errors above nothing. Chosen on voices of the training: see `npm run bench -- profiles`.
 */
const better = { least: 0.01, errors: 1 } as const;

/** Clips of a voice to a layer of its own, or none. Never rejects for what the clips hold; the same clips give the same layer. */
export async function learnVoice(parts: LearningParts, given: readonly KnownClip[]): Promise<VoiceLesson> {
  const clips = given.filter((clip) => isFit(parts, clip)).slice(-lessonLimits.most);
  const nothing: VoiceMarks = { clean: noMark, noise: noMark, near: 0 };
  if (clips.length < lessonLimits.least)
    return { layer: null, clips: clips.length, before: nothing, after: nothing, gains: [] };
  const lessons: FitClip[][] = [];
  const trials: VoiceTrial[][] = [];
  for (const clip of clips) {
    const sounds = await soundsOf(parts, clip);
    if (sounds === null)
      return { layer: null, clips: clips.length, before: nothing, after: nothing, gains: [] };
    const target = ctcTarget(parts.lexicon, wordsOf(clip));
    lessons.push(sounds.map(({ hidden }) => ({ hidden, target })));
    trials.push(await trialsOf(parts, clip, sounds));
  }
  const before: Heard[] = [];
  const after: Heard[] = [];
  const gains: ClipGain[] = [];
  for (let part = 0; part < heldOutParts; part++) {
    const isHeld = (_: unknown, i: number) => i % heldOutParts === part;
    const layer = await fitted(parts, lessons.filter((_, i) => !isHeld(_, i)).flat());
    for (const clip of trials.filter(isHeld)) {
      const [was, is] = [heardAs(parts, clip, null), heardAs(parts, clip, layer)];
      const [worthWas, worthIs] = [worthOf(was, parts.keptFrom), worthOf(is, parts.keptFrom)];
      gains.push({ kept: worthIs.kept - worthWas.kept, worth: worthIs.worth - worthWas.worth });
      before.push(...was);
      after.push(...is);
      await parts.breathe();
    }
  }
  return {
    layer: isBetter(gains) ? await fitted(parts, lessons.flat()) : null,
    clips: clips.length,
    before: marksOf(before, parts.keptFrom),
    after: marksOf(after, parts.keptFrom),
    gains,
  };
}

const noMark: VoiceMark = { kept: 0, wrong: 0, belief: 0 };

/** Whether clips that gained so much are heard better, and by more than chance: a paired test, the clips being the pairs. */
export function isBetter(gains: readonly ClipGain[]): boolean {
  if (gains.length < 2) return false;
  const worths = gains.map(({ worth }) => worth);
  const mean = meanOf(worths);
  const squares = worths.reduce((sum, worth) => sum + (worth - mean) ** 2, 0);
  const error = Math.sqrt(squares / (gains.length - 1) / gains.length);
  return meanOf(gains.map(({ kept }) => kept)) >= better.least && mean > 0 && mean >= better.errors * error;
}

const meanOf = (some: readonly number[]): number =>
  some.reduce((sum, one) => sum + one, 0) / Math.max(1, some.length);

function isFit({ reader }: LearningParts, { samples, words }: KnownClip): boolean {
  const seconds = samples.length / sampleRate;
  return words !== '' && seconds > 0.2 && seconds <= lessonLimits.seconds && reader.read(words).ok;
}

const wordsOf = ({ words }: KnownClip): string[] => words.split(/[\s,]+/).filter((word) => word !== '');

interface LessonSound {
  readonly hidden: Float32Array;
  readonly facts: ClipFacts;
}

const factsOf = (samples: Float32Array): ClipFacts => ({
  seconds: samples.length / sampleRate,
  noise: noiseLevelOf(samples),
});

/** A clip as it is, then twice with noise over it; null where the model does not tell its hidden states. */
async function soundsOf(parts: LearningParts, { samples }: KnownClip): Promise<LessonSound[] | null> {
  const random = seeded(samples.length);
  const noises = overlaid.map(({ least, most }) =>
    withPinkNoise(samples, least + (most - least) * random(), random),
  );
  const sounds: LessonSound[] = [];
  for (const sound of [samples, ...noises]) {
    const hidden = await parts.hidden(sound);
    if (hidden === null) return null;
    sounds.push({ hidden, facts: factsOf(sound) });
    await parts.breathe();
  }
  return sounds;
}

async function fitted(parts: LearningParts, lessons: readonly FitClip[]): Promise<OutputLayer> {
  const steps = fitOutputLayer(lessons, parts.shipped);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    await parts.breathe();
  }
}

interface VoiceTrial extends LessonSound {
  readonly how: 'clean' | 'noise' | 'near';
  /** What it may mean. */
  readonly wanted: ReadonlySet<string>;
}

/** The same sounds to judge by, while the clip is held out, and a near miss. */
async function trialsOf(
  parts: LearningParts,
  { samples, words }: KnownClip,
  sounds: readonly LessonSound[],
): Promise<VoiceTrial[]> {
  const read = parts.reader.read(words);
  const wanted = new Set(read.ok ? read.value.map(({ notes }) => notesKey(notes)) : []);
  const trials = sounds.map((sound, i): VoiceTrial => {
    return { how: i === 0 ? 'clean' : 'noise', ...sound, wanted };
  });
  const foreign = withWordBackwards(parts, samples, sounds[0]!);
  const near = foreign === null ? null : await parts.hidden(foreign);
  if (foreign !== null && near !== null)
    trials.push({ how: 'near', hidden: near, facts: factsOf(foreign), wanted: new Set() });
  await parts.breathe();
  return trials;
}

/** The clip with its longest word played backwards; null where it is not known where its words lie. */
function withWordBackwards(
  { judge, shipped, asAnybody }: LearningParts,
  samples: Float32Array,
  { hidden, facts }: LessonSound,
): Float32Array | null {
  const logp = applyOutputLayer(shipped, hidden);
  const heard = asAnybody(() => judge(logp, logp.length / layerOutputs, facts));
  const times = heard.ok ? (heard.value.facts.times ?? []) : [];
  const longest = [...times].sort((a, b) => b.to - b.from - (a.to - a.from))[0];
  if (longest === undefined) return null;
  const foreign = samples.slice();
  foreign.subarray(Math.round(longest.from * sampleRate), Math.round(longest.to * sampleRate)).reverse();
  return foreign;
}

/** What became of one trial: belief in what was said, and in the best of all, right or not. */
interface Heard {
  readonly how: VoiceTrial['how'];
  readonly right: number;
  readonly best: number;
  readonly isRight: boolean;
}

/** The trials of a clip by a layer; null: by the shipped one. */
function heardAs(
  { judge, shipped, asAnybody }: LearningParts,
  trials: readonly VoiceTrial[],
  layer: OutputLayer | null,
): Heard[] {
  return asAnybody(() =>
    trials.map(({ how, hidden, facts, wanted }) => {
      const logp = applyOutputLayer(layer ?? shipped, hidden);
      const heard = judge(logp, logp.length / layerOutputs, facts);
      const candidates = heard.ok ? heard.value.candidates : [];
      const isWanted = (one: { readonly notes: Notes }) => wanted.has(notesKey(one.notes));
      return {
        how,
        best: candidates[0]?.posterior ?? 0,
        isRight: candidates[0] !== undefined && isWanted(candidates[0]),
        right: candidates.filter(isWanted).reduce((sum, { posterior }) => sum + posterior, 0),
      };
    }),
  );
}

/**
 * What hearing a clip so is worth: how surely it is kept right, clean and in noise, less the price of how surely it is kept
 * wrong, less that of its near misses. "How surely" goes from 0 to 1, a half at the limit from which notes are kept, so that
 * a few clips tell more than counts of them would.
 */
function worthOf(heard: readonly Heard[], keptFrom: number): ClipGain {
  const odds = (belief: number) => Math.log(belief / (1 - belief));
  const surely = (belief: number) => {
    const inside = Math.min(1 - leastBelief, Math.max(leastBelief, belief));
    return 1 / (1 + Math.exp(odds(keptFrom) - odds(inside)));
  };
  const said = heard.filter(({ how }) => how !== 'near');
  const kept = meanOf(said.map(({ right }) => surely(right)));
  const wrong = meanOf(said.map(({ isRight, best }) => surely(isRight ? 0 : best)));
  const near = meanOf(heard.filter(({ how }) => how === 'near').map(({ best }) => surely(best)));
  return { kept, worth: kept - price.wrong * wrong - price.near * near };
}

/** Beliefs are taken to be at least so far from 0 and 1. */
const leastBelief = 1e-3;

function marksOf(heard: readonly Heard[], keptFrom: number): VoiceMarks {
  const markOf = (how: 'clean' | 'noise'): VoiceMark => {
    const some = heard.filter((one) => one.how === how);
    const kept = some.filter(({ best }) => best >= keptFrom);
    return {
      kept: kept.filter(({ isRight }) => isRight).length,
      wrong: kept.filter(({ isRight }) => !isRight).length,
      belief: some.reduce((sum, { right }) => sum + right, 0) / Math.max(1, some.length),
    };
  };
  const near = heard.filter(({ how, best }) => how === 'near' && best >= keptFrom).length;
  return { clean: markOf('clean'), noise: markOf('noise'), near };
}
