/**
 * The acoustic model's answers to the evaluation clips, kept on disk: a search or a belief that changed can be
 * measured again without hearing everything anew. Found again only by the very model, clip and noise.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { AcousticModel, Acoustics } from '../../../server/speech/acoustic.ts';
import { noiseLevelOf } from '../../../shared/sound/noise-level.ts';
import { cache } from './clips.ts';

/** Whatever the answer follows from besides the samples: the model's files. */
function digestOf(folder: string): string {
  const hash = createHash('sha256');
  for (const name of ['phones.txt', 'config.json', 'onnx/model_quantized.onnx'])
    hash.update(readFileSync(join(folder, name)));
  return hash.digest('hex').slice(0, 16);
}

export type Sounding = Pick<Acoustics, 'logp' | 'frames'> & {
  /** Other sound under the words, 0 to 1. */
  readonly noise: number;
  /** Absent when the answer came from disk: nothing was timed. */
  readonly milliseconds?: Acoustics['milliseconds'];
};

const roundedNoise = (samples: Float32Array): number => Math.round(1000 * noiseLevelOf(samples)) / 1000;

function keep(file: string, steps: Int16Array, noise: number): void {
  const all = Int16Array.from([...steps, Math.round(1000 * noise)]);
  writeFileSync(`${file}.part`, Buffer.from(all.buffer));
  renameSync(`${file}.part`, file);
}

/**
 * Runs the model of a folder, or reads what it answered before. `name` must say all that the samples follow from:
 * clip, noise, seed. Answers are kept as 16-bit thousandths of a nat, which changes no figure.
 */
export function keptSoundings(
  folder: string,
  model: AcousticModel,
): (name: string, samples: () => Float32Array) => Promise<Sounding> {
  const place = join(cache, 'soundings', digestOf(folder));
  mkdirSync(place, { recursive: true });
  const known = new Set(readdirSync(place));
  return async (name, samples) => {
    const file = createHash('sha256').update(name).digest('hex').slice(0, 24);
    if (known.has(file) && existsSync(join(place, file))) {
      const bytes = readFileSync(join(place, file));
      const whole = new Int16Array(bytes.buffer, bytes.byteOffset, bytes.length / 2);
      const frames = Math.floor(whole.length / model.phones.length);
      const steps = whole.subarray(0, frames * model.phones.length);
      // Behind the frames, the noise; answers that were kept before it was told lack it.
      const told = whole[steps.length];
      const noise = told === undefined ? roundedNoise(samples()) : told / 1000;
      if (told === undefined) keep(join(place, file), steps, noise);
      return { logp: Float32Array.from(steps, (step) => step / 1000), frames, noise };
    }
    const sound = samples();
    const noise = roundedNoise(sound);
    const { logp, frames, milliseconds } = await model.run(sound);
    const rounded = Int16Array.from(logp, (value) => Math.max(-32000, Math.round(value * 1000)));
    keep(join(place, file), rounded, noise);
    known.add(file);
    return { logp: Float32Array.from(rounded, (step) => step / 1000), frames, noise, milliseconds };
  };
}
