/** The clips of one person's day as the encoder hears them, clean and in noise, kept for as long as the bench runs. */
import type { AcousticModel } from '../../../server/speech/acoustic.ts';
import { noiseLevelOf } from '../../../shared/sound/noise-level.ts';
import { featuresOf } from '../../../shared/sound/windows.ts';
import { type Clip, load } from '../voices/clips.ts';
import { noisy, pink, seeded } from '../voices/noise.ts';
import { noiseOf } from '../voices/trials.ts';

export const clean = Number.POSITIVE_INFINITY;

export interface PersonSound {
  readonly clip: Clip;
  /** Its place in its list, from which noise and open question follow. */
  readonly at: number;
  /** Signal to noise, decibels. */
  readonly decibels: number;
  /** The encoder's states, and the scores that the model's own last layer makes of them. */
  readonly hidden: Float32Array;
  readonly logp: Float32Array;
  readonly seconds: number;
  /** Other sound under the words, 0 to 1. */
  readonly noise: number;
}

export async function encodeSamples(
  model: AcousticModel,
  samples: Float32Array,
): Promise<Pick<PersonSound, 'hidden' | 'logp' | 'seconds' | 'noise'>> {
  const { data, hidden } = await model.encode(featuresOf(samples));
  if (hidden === undefined) throw new Error('the model does not tell its hidden states');
  // The runtime may use its memory again.
  return {
    hidden: hidden.slice(),
    logp: data.slice(),
    seconds: samples.length / 16000,
    noise: noiseLevelOf(samples),
  };
}

/** The clips at each ratio, with the noises of a wood taking turns; `shift` begins with another noise, and has it otherwise. */
export async function soundsOf(
  model: AcousticModel,
  clips: readonly Clip[],
  ratios: readonly number[],
  shift = 0,
): Promise<PersonSound[]> {
  const sounds: PersonSound[] = [];
  for (const [at, clip] of clips.entries()) {
    const samples = load(clip.file);
    const [, make] = noiseOf(at + shift);
    for (const decibels of ratios)
      sounds.push({
        clip,
        at,
        decibels,
        ...(await encodeSamples(model, noisy(samples, decibels, seeded(at + 1 + 77 * shift), make))),
      });
  }
  return sounds;
}

/** Clips to learn from: each clean and with pink noise 3 to 12 dB below it, which no clip to be measured on has alike. */
export async function soundsToLearn(model: AcousticModel, clips: readonly Clip[]): Promise<PersonSound[][]> {
  const sounds: PersonSound[][] = [];
  for (const [at, clip] of clips.entries()) {
    const samples = load(clip.file);
    const random = seeded(7000 + at);
    const decibels = 3 + 9 * random();
    sounds.push(
      await Promise.all([
        encodeSamples(model, samples).then((sound) => ({ clip, at, decibels: clean, ...sound })),
        encodeSamples(model, noisy(samples, decibels, random, pink)).then((sound) => ({
          clip,
          at,
          decibels,
          ...sound,
        })),
      ]),
    );
  }
  return sounds;
}
