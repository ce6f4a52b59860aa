/**
 * Fits the last layer of the acoustic model to one voice: connectionist temporal classification on clips whose words are
 * known, with a pull towards the layer that the model came with. Pure, on typed arrays; a generator, so that whoever
 * runs it can do other things between two steps.
 */
import { hiddenSize, layerOutputs, type OutputLayer, scoreFrame } from '../../shared/sound/output-layer.ts';
import { CtcGradient } from './ctc-gradient.ts';
import type { CtcTarget } from './ctc-target.ts';

/** One clip, clean or with noise over it: the encoder's states, frame by frame, and what was said. */
export interface FitClip {
  readonly hidden: Float32Array;
  readonly target: CtcTarget;
}

interface FitOptions {
  readonly steps?: number;
  /** Weight of half the squared distance from the layer one began with. */
  readonly pull?: number;
  /** Length of Adam's steps; falls to a tenth of it along a cosine. */
  readonly rate?: number;
}

/** Chosen on voices that the model was trained on (`tuningVoices` in tests/bench/voices/person.ts). */
const fitDefaults = { steps: 30, pull: 0.1, rate: 0.003 } as const;

/** Kingma and Ba 2015, algorithm 1, with its usual values. */
const adam = { first: 0.9, second: 0.999, tiny: 1e-8 } as const;
/** Frames of which every score is this near to what it should be teach nothing, and most frames are such. */
const settledBelow = 0.002;
/** Settled frames are looked at again after so many steps. */
const lookAgain = 6;

/**
 * Yields the mean loss, nats a clip, before each step; returns the fitted layer. The layer that is handed in is not
 * changed.
 */
export function* fitOutputLayer(
  clips: readonly FitClip[],
  shipped: OutputLayer,
  options: FitOptions = {},
): Generator<number, OutputLayer> {
  const { steps, pull, rate } = { ...fitDefaults, ...options };
  const layer = { weight: shipped.weight.slice(), bias: shipped.bias.slice() };
  const slope = new Slope(clips, hiddenSize(shipped));
  const weightAdam = new Adam(shipped.weight);
  const biasAdam = new Adam(shipped.bias);
  for (let step = 0; step < steps; step++) {
    const loss = slope.at(layer, step % lookAgain === 0);
    yield loss;
    const length = rate * (0.55 + 0.45 * Math.cos((Math.PI * step) / steps));
    weightAdam.step(layer.weight, slope.weight, pull, length);
    biasAdam.step(layer.bias, slope.bias, pull, length);
  }
  return layer;
}

/** A clip with its scores by the layer in hand, and the frames that teach nothing. */
interface Work extends FitClip {
  readonly frames: number;
  readonly logp: Float32Array;
  readonly settled: Uint8Array;
}

/** The mean loss of the clips, and how it changes with every weight. */
class Slope {
  readonly weight: Float32Array;
  readonly bias = new Float32Array(layerOutputs);
  /** Output by output, so that what belongs to one lies together; the layer has it the other way round. */
  private readonly byOutput: Float32Array;
  private readonly works: readonly Work[];
  private readonly ofScores: Float32Array;
  private readonly ctc = new CtcGradient();

  constructor(
    clips: readonly FitClip[],
    private readonly size: number,
  ) {
    this.weight = new Float32Array(size * layerOutputs);
    this.byOutput = new Float32Array(size * layerOutputs);
    this.works = clips.map(({ hidden, target }) => {
      const frames = hidden.length / size;
      const logp = new Float32Array(frames * layerOutputs);
      return { hidden, target, frames, logp, settled: new Uint8Array(frames) };
    });
    const longest = this.works.reduce((most, { frames }) => Math.max(most, frames), 0);
    this.ofScores = new Float32Array(longest * layerOutputs);
  }

  /** Nats a clip; `all`: settled frames are looked at again. */
  at(layer: OutputLayer, all: boolean): number {
    this.byOutput.fill(0);
    this.bias.fill(0);
    let loss = 0;
    let counted = 0;
    for (const work of this.works) {
      const mine = this.add(work, layer, all);
      if (mine === Number.POSITIVE_INFINITY) continue;
      loss += mine;
      counted++;
    }
    const by = 1 / Math.max(1, counted);
    for (let k = 0; k < layerOutputs; k++) {
      this.bias[k]! *= by;
      for (let i = 0; i < this.size; i++)
        this.weight[i * layerOutputs + k] = by * this.byOutput[k * this.size + i]!;
    }
    return loss * by;
  }

  private add(work: Work, layer: OutputLayer, all: boolean): number {
    const { hidden, target, frames, logp, settled } = work;
    const { ofScores } = this;
    for (let t = 0; t < frames; t++) if (all || !settled[t]) scoreFrame(layer, hidden, t, logp);
    const loss = this.ctc.run(target, logp, frames, ofScores);
    if (loss === Number.POSITIVE_INFINITY) return loss;
    for (let t = 0; t < frames; t++) {
      if (all) settled[t] = isSettled(ofScores, t) ? 1 : 0;
      if (!settled[t]) this.addFrame(hidden, t);
    }
    return loss;
  }

  /** Only a few outputs of a frame are ever wrong. */
  private addFrame(hidden: Float32Array, t: number): void {
    const { size, byOutput, ofScores, bias } = this;
    const from = t * size;
    for (let k = 0; k < layerOutputs; k++) {
      const wrong = ofScores[t * layerOutputs + k]!;
      bias[k]! += wrong;
      if (Math.abs(wrong) < settledBelow / 10) continue;
      const into = k * size;
      for (let i = 0; i < size; i++) byOutput[into + i]! += wrong * hidden[from + i]!;
    }
  }
}

function isSettled(slope: Float32Array, t: number): boolean {
  for (let k = t * layerOutputs; k < (t + 1) * layerOutputs; k++)
    if (Math.abs(slope[k]!) > settledBelow) return false;
  return true;
}

class Adam {
  private readonly mean: Float32Array;
  private readonly square: Float32Array;
  private steps = 0;

  constructor(private readonly start: Float32Array) {
    this.mean = new Float32Array(start.length);
    this.square = new Float32Array(start.length);
  }

  step(weights: Float32Array, slope: Float32Array, pull: number, length: number): void {
    const { mean, square, start } = this;
    this.steps++;
    const meanBy = 1 - adam.first ** this.steps;
    const squareBy = 1 - adam.second ** this.steps;
    for (let i = 0; i < weights.length; i++) {
      const down = slope[i]! + pull * (weights[i]! - start[i]!);
      const m = adam.first * mean[i]! + (1 - adam.first) * down;
      const s = adam.second * square[i]! + (1 - adam.second) * down * down;
      mean[i] = m;
      square[i] = s;
      weights[i]! -= (length * (m / meanBy)) / (Math.sqrt(s / squareBy) + adam.tiny);
    }
  }
}
