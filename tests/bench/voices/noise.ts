/** Numbers from a seed, and noise that is laid over clips. */

import { pinkNoise } from '../../../shared/sound/pink-noise.ts';

export { seeded } from '../../../shared/core/random.ts';
export { pinkNoise as pink } from '../../../shared/sound/pink-noise.ts';

const gauss = (random: () => number) =>
  Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());

function scaled(samples: Float32Array): Float32Array {
  const power = samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length;
  return samples.map((sample) => sample / Math.sqrt(power + 1e-20));
}

/** Sounds of a wood in which nobody speaks, unit power. All are computed; none is a recording. */
export const soundscapes: Readonly<Record<string, (length: number, random: () => number) => Float32Array>> = {
  hiss: (length, random) => scaled(new Float32Array(length).map(() => gauss(random))),
  pink: pinkNoise,
  /** Low noise that swells and sinks. */
  wind: (length, random) => {
    let low = 0;
    let swell = 0;
    return scaled(
      new Float32Array(length).map(() => {
        low += 0.03 * (gauss(random) - low);
        swell += 0.0003 * (gauss(random) * 8 - swell);
        return low * (0.2 + swell * swell);
      }),
    );
  },
  /** Whistles that glide up and down between 2 and 6 kHz, with pauses. */
  birds: (length, random) => {
    const song = new Float32Array(length);
    for (let at = 0; at < length; ) {
      const notes = 1 + Math.floor(random() * 5);
      const from = 2000 + random() * 3000;
      const glide = (random() - 0.5) * 3000;
      const long = Math.floor(800 + random() * 2500);
      for (let n = 0; n < notes; n++) {
        let phase = 0;
        for (let i = 0; i < long && at + i < length; i++) {
          phase += (2 * Math.PI * (from + (glide * i) / long)) / 16000;
          song[at + i] = Math.sin(phase) * Math.sin((Math.PI * i) / long);
        }
        at += long + 500;
      }
      at += Math.floor(random() * 12000);
    }
    return scaled(song.map((sample) => sample + 0.02 * gauss(random)));
  },
  /** A motor: harmonics of a slowly drifting tone, rough. */
  saw: (length, random) => {
    let phase = 0;
    let drift = 0;
    const base = 70 + random() * 60;
    return scaled(
      new Float32Array(length).map(() => {
        drift += 0.001 * (gauss(random) - drift);
        phase += (2 * Math.PI * base * (1 + drift * 2)) / 16000;
        let sum = 0;
        for (let h = 1; h <= 12; h++) sum += Math.sin(h * phase) / h;
        return sum + 0.4 * gauss(random);
      }),
    );
  },
  /** Footsteps in leaves: short bursts of high noise. */
  steps: (length, random) => {
    const noise = new Float32Array(length);
    for (let at = 0; at < length; at += 6000 + Math.floor(random() * 4000)) {
      for (let i = 0; i < 3000 && at + i < length; i++) noise[at + i] = gauss(random) * Math.exp(-i / 700);
    }
    return scaled(noise.map((sample) => sample + 0.01 * gauss(random)));
  },
};

/** Several people at once, not to be understood: other clips laid over each other, again and again. */
export function babble(length: number, random: () => number, others: readonly Float32Array[]): Float32Array {
  const sum = new Float32Array(length);
  for (let person = 0; person < 6; person++) {
    let at = -Math.floor(random() * 16000);
    while (at < length) {
      const clip = scaled(others[Math.floor(random() * others.length)]!);
      for (let i = Math.max(0, -at); i < clip.length && at + i < length; i++) sum[at + i]! += clip[i]!;
      at += clip.length + Math.floor(random() * 4000);
    }
  }
  return scaled(sum);
}

export type Noise = (length: number, random: () => number) => Float32Array;

/** The clip with noise over all of it, `decibels` below the clip's mean power; Infinity leaves it alone. */
export function noisy(
  samples: Float32Array,
  decibels: number,
  random: () => number,
  make: Noise = pinkNoise,
): Float32Array {
  if (decibels === Number.POSITIVE_INFINITY) return samples;
  const power = samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length;
  const level = Math.sqrt(power) * 10 ** (-decibels / 20);
  const noise = make(samples.length, random);
  return samples.map((sample, i) => sample + level * noise[i]!);
}
