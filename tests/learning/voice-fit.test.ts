import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CtcForward } from '../../grammar/decoding/ctc-forward.ts';
import { CtcGradient } from '../../grammar/learning/ctc-gradient.ts';
import { type CtcTarget, ctcTarget } from '../../grammar/learning/ctc-target.ts';
import { fitOutputLayer } from '../../grammar/learning/fit-output-layer.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { places } from '../../server/program/places.ts';
import { seeded } from '../../shared/core/random.ts';
import { outputLayerOf } from '../../shared/sound/onnx-weights.ts';
import {
  applyOutputLayer,
  hiddenSize,
  layerOutputs,
  type OutputLayer,
} from '../../shared/sound/output-layer.ts';
import { ownGraph } from '../support/own-graph.ts';

const lexicon = createLexicon();
const ctc = new CtcGradient();

const normal = (random: () => number) =>
  Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());
const logSoftmax = (scores: Float64Array): Float32Array => {
  const logp = new Float32Array(scores.length);
  for (let row = 0; row < scores.length; row += layerOutputs) {
    let sum = 0;
    for (let k = 0; k < layerOutputs; k++) sum += Math.exp(scores[row + k]!);
    for (let k = 0; k < layerOutputs; k++) logp[row + k] = scores[row + k]! - Math.log(sum);
  }
  return logp;
};
const scoresOf = (frames: number, seed: number): Float64Array => {
  const random = seeded(seed);
  return Float64Array.from({ length: frames * layerOutputs }, () => normal(random));
};
const lossOf = (target: CtcTarget, logp: Float32Array) =>
  ctc.run(target, logp, logp.length / layerOutputs, new Float32Array(logp.length));

/** All sequences of outputs of a few frames, collapsed as CTC collapses them: the definition, word for word. */
function byEnumeration(sounds: readonly Uint8Array[], logp: Float32Array, frames: number): number {
  const wanted = new Set(sounds.map((sound) => sound.join()));
  const used = [0, ...new Set(sounds.flatMap((sound) => [...sound]))];
  let total = 0;
  const follow = (t: number, last: number, heard: readonly number[], p: number): void => {
    if (t === frames) {
      if (wanted.has(heard.join())) total += p;
      return;
    }
    for (const k of used)
      follow(
        t + 1,
        k,
        k === 0 || k === last ? heard : [...heard, k],
        p * Math.exp(logp[t * layerOutputs + k]!),
      );
  };
  follow(0, 0, [], 1);
  return -Math.log(total);
}

describe('the loss of known words', () => {
  test('is the sum over all alignments, as its definition enumerates them (Graves et al. 2006, equation 3)', () => {
    for (const [words, frames] of [
      [['eye'], 5],
      [['two'], 6],
      [['no', 'oh'], 7],
    ] as const) {
      let sounds: number[][] = [[]];
      for (const word of words)
        sounds = sounds.flatMap((so) => lexicon.pronounce(word).map((sound) => [...so, ...sound]));
      const logp = logSoftmax(scoresOf(frames, frames));
      expect(lossOf(ctcTarget(lexicon, words), logp)).toBeCloseTo(
        byEnumeration(
          sounds.map((sound) => Uint8Array.from(sound)),
          logp,
          frames,
        ),
        5,
      );
    }
  });

  test('is what the search reckons with, pronunciations and repeated phones included', () => {
    const graph = ownGraph();
    const logp = logSoftmax(scoresOf(60, 3));
    const forward = new CtcForward();
    forward.push(logp, 60);
    for (const text of ['eight ten', 'red oak sixteen inches', 'no', 'ten paces eye five and a half']) {
      const words = text.split(' ');
      const path = words.map((word) => ({
        arc: 0,
        word: graph.spelling.indexOf(word),
        node: 0,
        from: 0,
        to: 0,
      }));
      expect(lossOf(ctcTarget(lexicon, words), logp)).toBeCloseTo(-forward.sum(graph, path), 3);
    }
  });

  test('changes with every score as its gradient says, against finite differences', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('eye', 'two paces', 'red maple', 'eight ten', 'no no', 'either'),
        fc.integer({ min: 1, max: 9999 }),
        fc.integer({ min: 12, max: 25 }),
        (text, seed, frames) => {
          const target = ctcTarget(lexicon, text.split(' '));
          const scores = scoresOf(frames, seed);
          const gradient = new Float32Array(scores.length);
          const loss = ctc.run(target, logSoftmax(scores), frames, gradient);
          fc.pre(Number.isFinite(loss));
          const random = seeded(seed + 1);
          for (let trial = 0; trial < 12; trial++) {
            const at = Math.floor(random() * scores.length);
            const around = [-1, 1].map((side) => {
              const moved = scores.slice();
              moved[at]! += side * 0.02;
              return lossOf(target, logSoftmax(moved));
            });
            expect((around[1]! - around[0]!) / 0.04).toBeCloseTo(gradient[at]!, 2);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  test('is infinite, and teaches nothing, where the clip is too short for the words', () => {
    const gradient = new Float32Array(2 * layerOutputs).fill(7);
    const target = ctcTarget(lexicon, ['sixteen']);
    expect(ctc.run(target, logSoftmax(scoresOf(2, 1)), 2, gradient)).toBe(Number.POSITIVE_INFINITY);
    expect(gradient.every((value) => value === 0)).toBe(true);
    expect(() => ctcTarget(lexicon, [])).toThrow(RangeError);
  });
});

describe('a last layer that is fitted', () => {
  const size = 8;
  const random = seeded(5);
  const shipped: OutputLayer = {
    weight: Float32Array.from({ length: size * layerOutputs }, () => 0.3 * normal(random)),
    bias: Float32Array.from({ length: layerOutputs }, () => 0.3 * normal(random)),
  };
  const clips = ['two paces', 'red oak', 'eye five'].map((text) => ({
    hidden: Float32Array.from({ length: 30 * size }, () => normal(random)),
    target: ctcTarget(lexicon, text.split(' ')),
  }));
  const fitted = (options: object) => {
    const steps = fitOutputLayer(clips, shipped, options);
    const losses: number[] = [];
    for (;;) {
      const step = steps.next();
      if (step.done) return { losses, layer: step.value };
      losses.push(step.value);
    }
  };
  const distance = ({ weight }: OutputLayer) =>
    weight.reduce((sum, value, i) => sum + (value - shipped.weight[i]!) ** 2, 0);

  test('hears its clips better step by step, and leaves the layer it began with as it was', () => {
    const before = shipped.weight.slice();
    const { losses, layer } = fitted({ steps: 40, rate: 0.03, pull: 0 });
    expect(losses.at(-1)!).toBeLessThan(0.5 * losses[0]!);
    expect(shipped.weight).toEqual(before);
    expect(layer.weight).not.toEqual(before);
  });

  test('stays the nearer to where it began, the harder it is pulled', () => {
    const [free, held, tied] = [0, 1, 1000].map((pull) =>
      distance(fitted({ steps: 40, rate: 0.03, pull }).layer),
    ) as [number, number, number];
    expect(held).toBeLessThan(free);
    expect(tied).toBeLessThan(0.1 * held);
  });

  test('is the same on every run', () => {
    expect(fitted({ steps: 5 }).layer).toEqual(fitted({ steps: 5 }).layer);
  });
});

describe("the model's own last layer", () => {
  const file = readFileSync(join(places.model, 'onnx', 'model_quantized.onnx'));

  test('is read from its file: 384 numbers a frame to a blank and 39 phones', () => {
    const layer = outputLayerOf(file);
    expect(layer && hiddenSize(layer)).toBe(384);
    expect(layer?.bias.length).toBe(layerOutputs);
  });

  test('is not there in a file that has none, is cut short, or is no model', () => {
    expect(outputLayerOf(file.subarray(0, 100_000))).toBeNull();
    expect(outputLayerOf(new Uint8Array(0))).toBeNull();
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(outputLayerOf(bytes)).toBeNull();
      }),
    );
  });

  test('gives rows of log probabilities whose probabilities sum to 1', () => {
    const layer = outputLayerOf(file)!;
    const random = seeded(2);
    const logp = applyOutputLayer(
      layer,
      Float32Array.from({ length: 3 * 384 }, () => normal(random)),
    );
    for (let t = 0; t < 3; t++) {
      const row = logp.subarray(t * layerOutputs, (t + 1) * layerOutputs);
      expect(row.reduce((sum, value) => sum + Math.exp(value), 0)).toBeCloseTo(1, 5);
    }
  });
});
