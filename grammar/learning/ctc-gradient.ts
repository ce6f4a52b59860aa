/**
 * Connectionist temporal classification on a graph of pronunciations: how improbable known words are given a clip's phone
 * probabilities, summed over all alignments, and how that changes with every score (Graves et al. 2006, "Connectionist
 * Temporal Classification", equations 5 to 16; probabilities are scaled frame by frame as there).
 */
import { layerOutputs } from '../../shared/sound/output-layer.ts';
import type { CtcTarget } from './ctc-target.ts';

/** Scratch space of one size, used again for every clip. */
export class CtcGradient {
  private forwardLabel = new Float64Array(0);
  private forwardBlank = new Float64Array(0);
  private forwardSilence = new Float64Array(0);
  private scale = new Float64Array(0);
  private prob = new Float64Array(0);
  /** Backward variables of the frame in hand, and room for the next. */
  private label = new Float64Array(0);
  private blank = new Float64Array(0);
  private nextLabel = new Float64Array(0);
  private nextBlank = new Float64Array(0);
  private silence = 0;

  /**
   * The loss, nats: minus the log probability of the target. Writes to `gradient` (rows of 40) its derivative by the
   * scores before the softmax whose log probabilities `logp` are. Infinity, and a gradient of zeros, where the clip is
   * too short for the words.
   */
  run(target: CtcTarget, logp: Float32Array, frames: number, gradient: Float32Array): number {
    this.room(frames, target.phone.length);
    const { prob } = this;
    for (let i = 0; i < frames * layerOutputs; i++) prob[i] = Math.exp(logp[i]!);
    const loss = this.forward(target, frames);
    if (loss === Number.POSITIVE_INFINITY) gradient.fill(0, 0, frames * layerOutputs);
    else this.back(target, frames, gradient);
    return loss;
  }

  private room(frames: number, nodes: number): void {
    if (this.forwardLabel.length < frames * nodes) {
      this.forwardLabel = new Float64Array(frames * nodes);
      this.forwardBlank = new Float64Array(frames * nodes);
    }
    if (this.scale.length < frames) {
      this.scale = new Float64Array(frames);
      this.forwardSilence = new Float64Array(frames);
      this.prob = new Float64Array(frames * layerOutputs);
    }
    if (this.label.length < nodes) {
      this.label = new Float64Array(nodes);
      this.blank = new Float64Array(nodes);
      this.nextLabel = new Float64Array(nodes);
      this.nextBlank = new Float64Array(nodes);
    }
  }

  private forward(target: CtcTarget, frames: number): number {
    const { forwardLabel: label, forwardBlank: blank, forwardSilence: silence, scale } = this;
    const { last } = target;
    const nodes = last.length;
    let logTotal = 0;
    for (let t = 0; t < frames; t++) {
      const sum = this.enter(target, t);
      if (!(sum > 0)) return Number.POSITIVE_INFINITY;
      scale[t] = sum;
      logTotal += Math.log(sum);
      silence[t]! /= sum;
      for (let at = t * nodes; at < (t + 1) * nodes; at++) {
        label[at]! /= sum;
        blank[at]! /= sum;
      }
    }
    let end = 0;
    const at = (frames - 1) * nodes;
    for (let n = 0; n < nodes; n++) if (last[n]) end += label[at + n]! + blank[at + n]!;
    return end > 0 ? -(logTotal + Math.log(end)) : Number.POSITIVE_INFINITY;
  }

  /** Forward variables of one frame from those of the frame before; their sum. */
  private enter({ phone, before, beforeFrom, first }: CtcTarget, t: number): number {
    const { forwardLabel: label, forwardBlank: blank, forwardSilence: silence, prob } = this;
    const nodes = phone.length;
    const at = t * nodes;
    const old = at - nodes;
    const row = t * layerOutputs;
    const pBlank = prob[row]!;
    const silent = t === 0 ? 1 : silence[t - 1]!;
    let sum = silent * pBlank;
    silence[t] = sum;
    for (let n = 0; n < nodes; n++) {
      const own = phone[n]!;
      let into = first[n] ? silent : 0;
      let rest = 0;
      if (t > 0) {
        into += label[old + n]!;
        rest = label[old + n]! + blank[old + n]!;
        for (let b = beforeFrom[n]!; b < beforeFrom[n + 1]!; b++) {
          const from = before[b]!;
          into += blank[old + from]!;
          if (phone[from] !== own) into += label[old + from]!;
        }
      }
      label[at + n] = into * prob[row + own]!;
      blank[at + n] = rest * pBlank;
      sum += label[at + n]! + blank[at + n]!;
    }
    return sum;
  }

  /** Frame by frame from the end: what each output is held responsible for becomes the gradient. */
  private back(target: CtcTarget, frames: number, gradient: Float32Array): void {
    const { last } = target;
    for (let n = 0; n < last.length; n++) this.label[n] = this.blank[n] = last[n]!;
    this.silence = 0;
    for (let t = frames - 1; t >= 0; t--) {
      if (t < frames - 1) this.leave(target, t + 1);
      this.blame(target, t, gradient);
    }
  }

  /** Backward variables of the frame before `t` from those of `t`. */
  private leave({ phone, before, beforeFrom, first }: CtcTarget, t: number): void {
    const { label, blank, nextLabel, nextBlank, prob } = this;
    const nodes = phone.length;
    const row = t * layerOutputs;
    const pBlank = prob[row]!;
    const by = 1 / this.scale[t]!;
    let silence = this.silence * pBlank;
    for (let n = 0; n < nodes; n++) {
      nextBlank[n] = blank[n]! * pBlank;
      nextLabel[n] = label[n]! * prob[row + phone[n]!]! + nextBlank[n]!;
    }
    for (let n = 0; n < nodes; n++) {
      const worth = label[n]! * prob[row + phone[n]!]!;
      if (first[n]) silence += worth;
      for (let b = beforeFrom[n]!; b < beforeFrom[n + 1]!; b++) {
        const from = before[b]!;
        nextBlank[from]! += worth;
        if (phone[from] !== phone[n]) nextLabel[from]! += worth;
      }
    }
    this.silence = silence * by;
    for (let n = 0; n < nodes; n++) {
      nextLabel[n]! *= by;
      nextBlank[n]! *= by;
    }
    this.label = nextLabel;
    this.nextLabel = label;
    this.blank = nextBlank;
    this.nextBlank = blank;
  }

  private blame({ phone }: CtcTarget, t: number, gradient: Float32Array): void {
    const { forwardLabel, forwardBlank, label, blank, prob } = this;
    const nodes = phone.length;
    const row = t * layerOutputs;
    const at = t * nodes;
    const silent = this.forwardSilence[t]! * this.silence;
    let whole = silent;
    for (let n = 0; n < nodes; n++)
      whole += forwardLabel[at + n]! * label[n]! + forwardBlank[at + n]! * blank[n]!;
    for (let k = 0; k < layerOutputs; k++) gradient[row + k] = prob[row + k]!;
    gradient[row]! -= silent / whole;
    for (let n = 0; n < nodes; n++) {
      gradient[row + phone[n]!]! -= (forwardLabel[at + n]! * label[n]!) / whole;
      gradient[row]! -= (forwardBlank[at + n]! * blank[n]!) / whole;
    }
  }
}
