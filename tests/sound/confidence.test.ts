/** How noisy a clip is taken to be, and how far what was heard in it is believed. The measures' weights are fitted, not derived. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import { confidence, refuseBelow } from '../../shared/sound/confidence.ts';
import { noiseLevelOf, noiseOfLevels } from '../../shared/sound/noise-level.ts';
import { withPinkNoise } from '../../shared/sound/pink-noise.ts';

/** Four tones of 0.3 s with 0.2 s of nothing between them, 16 kHz. */
const syllables = Float32Array.from({ length: 32_000 }, (_, i) =>
  i % 8000 < 4800 ? 0.3 * Math.sin((2 * Math.PI * 300 * i) / 16_000) : 0,
);

describe('the noise of a clip', () => {
  test('is none where its pauses are still, and all where it has no pauses', () => {
    expect(noiseLevelOf(syllables)).toBe(0);
    expect(noiseLevelOf(new Float32Array(16_000).fill(0.2))).toBe(1);
    expect(noiseLevelOf(new Float32Array(0))).toBe(1);
  });

  test('grows as the noise that is laid over it does', () => {
    const noises = [20, 10, 5, 0].map((decibels) =>
      noiseLevelOf(withPinkNoise(syllables, decibels, seeded(1))),
    );
    expect(noises[0]).toBeLessThan(0.15);
    expect(noises[3]).toBeGreaterThan(0.6);
    expect([...noises].sort((a, b) => a - b)).toEqual(noises);
  });

  test('law: it lies between 0 and 1 and does not hang on how loud the clip is', () => {
    const levels = fc.array(fc.integer({ min: -90, max: 0 }), { maxLength: 200 });
    fc.assert(
      fc.property(levels, fc.integer({ min: -60, max: 30 }), (list, louder) => {
        const noise = noiseOfLevels(list);
        expect(noise).toBeGreaterThanOrEqual(0);
        expect(noise).toBeLessThanOrEqual(1);
        expect(noiseOfLevels(list.map((level) => level + louder))).toBeCloseTo(noise, 9);
      }),
    );
  });
});

describe('the belief in what was heard', () => {
  const word = { margin: 0, gap: 0, from: 0, to: 12 };
  const clear = {
    posterior: 1,
    lead: 0,
    words: [word, word, word],
    unusual: 8,
    odd: 0,
    doubt: 0,
    speechFrames: 30,
    noise: 0,
  };

  test('keeps what is clear in quiet, and does not where a word fits badly', () => {
    expect(confidence(clear)).toBeGreaterThan(takeHeardFrom);
    const foreign = { ...word, margin: 30 };
    expect(confidence({ ...clear, words: [word, foreign, word], doubt: 30 })).toBeLessThan(refuseBelow);
  });

  test('is less in noise, however sure the network is', () => {
    expect(confidence({ ...clear, noise: 0.7 })).toBeLessThan(confidence(clear));
    // Odds of 20 to 1 are enough in quiet and are asked about in noise.
    expect(confidence({ ...clear, posterior: 20 / 21 })).toBeGreaterThan(takeHeardFrom);
    expect(confidence({ ...clear, posterior: 20 / 21, noise: 0.7 })).toBeLessThan(takeHeardFrom);
  });

  test('is less where the sound leaves the words in doubt, in quiet', () => {
    expect(confidence({ ...clear, doubt: 4 })).toBeLessThan(confidence(clear));
  });
});
