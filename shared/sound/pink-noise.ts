/** Noise with as much power in every octave, as wind and leaves have it nearly: laid over clips that are learnt from. */

const gauss = (random: () => number) =>
  Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());

/** Pink noise of unit power: P. Kellet's filter of white noise (public domain), 1/f within 0.05 dB above 9 Hz. */
export function pinkNoise(length: number, random: () => number): Float32Array {
  const poles = [0.99886, 0.99332, 0.969, 0.8665, 0.55, -0.7616];
  const gains = [0.0555179, 0.0750759, 0.153852, 0.3104856, 0.5329522, -0.016898];
  const state = new Float64Array(poles.length);
  let before = 0;
  const noise = new Float32Array(length);
  for (let i = 0; i < length; i++) {
    const white = gauss(random);
    let sum = before + white * 0.5362;
    for (let k = 0; k < poles.length; k++) {
      state[k] = poles[k]! * state[k]! + gains[k]! * white;
      sum += state[k]!;
    }
    before = white * 0.115926;
    noise[i] = sum;
  }
  let power = 0;
  for (const sample of noise) power += sample * sample;
  const scale = 1 / Math.sqrt(power / length + 1e-20);
  return noise.map((sample) => sample * scale);
}

/** Samples with such noise over all of them, `decibels` below their mean power. */
export function withPinkNoise(samples: Float32Array, decibels: number, random: () => number): Float32Array {
  let power = 0;
  for (const sample of samples) power += sample * sample;
  const level = Math.sqrt(power / Math.max(1, samples.length)) * 10 ** (-decibels / 20);
  const noise = pinkNoise(samples.length, random);
  return samples.map((sample, i) => sample + level * noise[i]!);
}
