import { readFileSync } from 'node:fs';
import { WhisperFeatureExtractor } from '@xenova/transformers';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bands, LogMelStream, powerSpectrum } from '../../shared/sound/log-mel.ts';
import { logMel } from '../support/whole.ts';

/** The same sound as in tests/sound/log-mel.py. */
function fixtureSound(samples: number): Float32Array {
  let state = 12345n;
  return Float32Array.from({ length: samples }, (_, i) => {
    state = (state * 1103515245n + 12345n) % 2n ** 31n;
    const hiss = (Number(state) / 2 ** 31 - 0.5) * 0.02;
    const t = i / 16000;
    const tone = 0.3 * Math.sin(2 * Math.PI * 440 * t) + 0.2 * Math.sin(2 * Math.PI * (100 + 1500 * t) * t);
    const click = i % 3001 === 0 ? 0.8 : 0;
    return Math.floor((tone * (0.2 + (Math.floor(i / 4000) % 2)) + hiss + click) * 16384) / 32768;
  });
}

function greatestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let greatest = 0;
  for (let i = 0; i < a.length; i++) greatest = Math.max(greatest, Math.abs(a[i]! - b[i]!));
  return greatest;
}

const noise = (length: number, seed = 1) => {
  let state = seed;
  return Float32Array.from({ length }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32 - 0.5;
  });
};

describe('log-mel features', () => {
  test('are those that numpy computes from the published definition', () => {
    const fixture = JSON.parse(readFileSync(new URL('./log-mel.json', import.meta.url), 'utf8')) as {
      samples: number;
      frames: number;
      every: number;
      bands: number[][];
    };
    const { data, frames } = logMel(fixtureSound(fixture.samples));
    expect(frames).toBe(fixture.frames);
    const mine: number[] = [];
    for (let band = 0; band < bands; band++) {
      for (let t = 0; t < frames; t += fixture.every) mine.push(data[band * frames + t]!);
    }
    // The fixture is rounded to 5 decimals.
    expect(greatestDifference(mine, fixture.bands.flat())).toBeLessThan(2e-5);
  });

  test('are those of the Whisper feature extractor of the library that runs the model', async () => {
    const samples = 32000;
    const extractor = new WhisperFeatureExtractor({
      feature_size: 80,
      hop_length: 160,
      n_fft: 400,
      n_samples: samples,
      nb_max_frames: samples / 160,
      sampling_rate: 16000,
    });
    const sound = fixtureSound(samples);
    const theirs = (await extractor._call(sound)).input_features as { data: Float32Array; dims: number[] };
    const mine = logMel(sound);
    expect(theirs.dims).toEqual([1, 80, mine.frames]);
    expect(greatestDifference(mine.data, theirs.data)).toBeLessThan(1e-5);
  });

  test('the 400-point power spectrum is that of the plain sum of the definition', () => {
    const frame = Float64Array.from(noise(400));
    const power = new Float64Array(201);
    powerSpectrum(frame, power);
    const plain = Float64Array.from({ length: 201 }, (_, k) => {
      let re = 0;
      let im = 0;
      for (let i = 0; i < 400; i++) {
        re += frame[i]! * Math.cos((2 * Math.PI * k * i) / 400);
        im -= frame[i]! * Math.sin((2 * Math.PI * k * i) / 400);
      }
      return re * re + im * im;
    });
    expect(greatestDifference(power, plain)).toBeLessThan(1e-9);
  });

  test('a sound pushed in pieces of any length has the features of the whole', () => {
    const sound = noise(5000);
    const whole = logMel(sound);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 900 }), { minLength: 1, maxLength: 12 }), (pieces) => {
        const stream = new LogMelStream();
        let at = 0;
        for (const piece of [...pieces, sound.length]) {
          stream.push(sound.subarray(at, Math.min(sound.length, at + piece)));
          at = Math.min(sound.length, at + piece);
        }
        expect(stream.end()).toEqual(whole);
      }),
      { numRuns: 30 },
    );
  });

  test('frames that are complete before the end are final unless something louder comes', () => {
    const sound = noise(8000);
    const stream = new LogMelStream();
    stream.push(sound.subarray(0, 4000));
    const early = stream.features();
    expect(early.frames).toBe(24);
    stream.push(sound.subarray(4000));
    const late = stream.end();
    for (let band = 0; band < bands; band++) {
      const row = (log: { data: Float32Array; frames: number }) =>
        log.data.subarray(band * log.frames, band * log.frames + early.frames);
      expect(greatestDifference(row(early), row(late))).toBeLessThan(1e-6);
    }
  });

  test('silence and sounds shorter than a window give finite features', () => {
    for (const length of [0, 1, 159, 160, 161, 200, 399, 1000]) {
      for (const sound of [new Float32Array(length), noise(length)]) {
        const { data, frames } = logMel(sound);
        expect(frames).toBe(Math.floor(length / 160));
        expect(data.every(Number.isFinite)).toBe(true);
      }
    }
  });
});
