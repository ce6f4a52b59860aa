/**
 * The phone probabilities of one utterance and exact scores on them: the free phone path, the sum over all
 * alignments of a word sequence, and where each word lies and how badly it fits there.
 */
import { type PathWord, skipped } from '../automaton/lattice.ts';
import type { PhoneGraph } from '../pronunciation/phone-graph.ts';

/** A word with its place in the sound. */
export interface HeardWord {
  readonly word: string;
  /** First frame of its first phone, and the frame after its last phone. */
  readonly from: number;
  readonly to: number;
  /** Nats lost against the free phone path on these frames; 0 is a perfect fit. */
  readonly margin: number;
  /** Nats lost on the frames between this word and the next (or the end): something else was said there. */
  readonly gap: number;
}

const outputs = 40;
const never = Number.NEGATIVE_INFINITY;
/** Below this a probability relative to its frame counts as none: keeps the arithmetic away from denormals. */
const tiny = 1e-250;

export class CtcForward {
  private logp = new Float32Array(256 * outputs);
  private frames = 0;
  /** freeUpTo[t]: log probability of the free path on the frames before t. */
  private freeUpTo = new Float64Array(257);
  private prob = new Float64Array(0);
  private probFrames = 0;

  clear(): void {
    this.frames = 0;
    this.probFrames = 0;
  }

  push(logp: Float32Array, frames: number): void {
    if ((this.frames + frames) * outputs > this.logp.length) {
      const room = Math.max(2 * this.logp.length, (this.frames + frames) * outputs);
      const larger = new Float32Array(room);
      larger.set(this.logp);
      this.logp = larger;
      const freeUpTo = new Float64Array(room / outputs + 2);
      freeUpTo.set(this.freeUpTo);
      this.freeUpTo = freeUpTo;
    }
    this.logp.set(logp.subarray(0, frames * outputs), this.frames * outputs);
    for (let t = this.frames; t < this.frames + frames; t++) {
      let best = never;
      for (let k = 0; k < outputs; k++) best = Math.max(best, this.logp[t * outputs + k]!);
      this.freeUpTo[t + 1] = this.freeUpTo[t]! + best;
    }
    this.frames += frames;
  }

  /** Log probability of the best phone path without a grammar. */
  get freeLogp(): number {
    return this.freeUpTo[this.frames]!;
  }

  /** The best phone path without a grammar: its log probability, its frames that are not blank, its phones. */
  free(): { logp: number; speechFrames: number; phones: Uint8Array } {
    let speechFrames = 0;
    let last = 0;
    const heard: number[] = [];
    for (let t = 0; t < this.frames; t++) {
      let best = 0;
      for (let k = 1; k < outputs; k++)
        if (this.logp[t * outputs + k]! > this.logp[t * outputs + best]!) best = k;
      if (best !== 0) speechFrames++;
      if (best !== 0 && best !== last) heard.push(best);
      last = best;
    }
    return { logp: this.freeLogp, speechFrames, phones: Uint8Array.from(heard) };
  }

  /** The probabilities of all frames, each frame's divided by its greatest. */
  get sound(): { readonly prob: Float64Array; readonly frames: number } {
    return { prob: this.probabilities(), frames: this.frames };
  }

  /** Probabilities, each frame's divided by its greatest. */
  private probabilities(): Float64Array {
    if (this.prob.length < this.logp.length) {
      this.prob = new Float64Array(this.logp.length);
      this.probFrames = 0;
    }
    for (let t = this.probFrames; t < this.frames; t++) {
      const best = this.freeUpTo[t + 1]! - this.freeUpTo[t]!;
      for (let k = 0; k < outputs; k++)
        this.prob[t * outputs + k] = Math.exp(this.logp[t * outputs + k]! - best);
    }
    this.probFrames = this.frames;
    return this.prob;
  }

  /**
   * Log probability of a word sequence, summed over the pronunciations of every word and all alignments (the CTC
   * forward algorithm). What the words cost is not in it.
   */
  sum(graph: PhoneGraph, words: readonly PathWord[]): number {
    const prob = this.probabilities();
    const phone: number[] = [];
    /** The node before, or -1 at the start of a pronunciation; the word of each node. */
    const before: number[] = [];
    const wordOf: number[] = [];
    const lasts: number[][] = [];
    words.forEach(({ word }, w) => {
      const ends: number[] = [];
      for (const sound of graph.lexicon.pronounce(graph.spelling[word]!)) {
        sound.forEach((id, i) => {
          before.push(i === 0 ? -1 : phone.length - 1);
          phone.push(id);
          wordOf.push(w);
        });
        ends.push(phone.length - 1);
      }
      lasts.push(ends);
    });
    const nodes = phone.length;
    const firstOf = new Int32Array(words.length + 1).fill(nodes);
    for (let n = nodes - 1; n >= 0; n--) firstOf[wordOf[n]!] = n;
    let label = new Float64Array(nodes);
    let blank = new Float64Array(nodes);
    let nextLabel = new Float64Array(nodes);
    let nextBlank = new Float64Array(nodes);
    let silence = 1;
    let scale = 0;
    // Only words that the paths can have reached and not all have left are worked on.
    let low = 0;
    let high = 0;
    for (let t = 0; t < this.frames; t++) {
      const row = t * outputs;
      const pBlank = prob[row]!;
      let greatest = silence * pBlank;
      const until = firstOf[Math.min(high + 1, words.length)]!;
      let reached = low;
      let lowest = words.length;
      for (let n = firstOf[low]!; n < until; n++) {
        const id = phone[n]!;
        let sum = label[n]!;
        const b = before[n]!;
        if (b >= 0) sum += phone[b] === id ? blank[b]! : label[b]! + blank[b]!;
        else if (wordOf[n] === 0) sum += silence;
        else
          for (const last of lasts[wordOf[n]! - 1]!)
            sum += phone[last] === id ? blank[last]! : label[last]! + blank[last]!;
        const inLabel = sum * prob[row + id]!;
        const inBlank = (label[n]! + blank[n]!) * pBlank;
        nextLabel[n] = inLabel > tiny ? inLabel : 0;
        nextBlank[n] = inBlank > tiny ? inBlank : 0;
        if (inLabel > greatest) greatest = inLabel;
        if (inBlank > greatest) greatest = inBlank;
        if (inLabel > tiny || inBlank > tiny) {
          const w = wordOf[n]!;
          if (w > reached) reached = w;
          if (w < lowest) lowest = w;
        }
      }
      silence *= pBlank;
      if (silence < tiny) silence = 0;
      if (!(greatest > 0)) return never;
      if (greatest < 1e-30) {
        for (let n = firstOf[low]!; n < until; n++) {
          nextLabel[n]! /= greatest;
          nextBlank[n]! /= greatest;
        }
        silence /= greatest;
        scale += Math.log(greatest);
      }
      [label, nextLabel] = [nextLabel, label];
      [blank, nextBlank] = [nextBlank, blank];
      const from = silence > 0 ? 0 : Math.min(lowest, reached);
      for (let n = firstOf[low]!; n < firstOf[from]!; n++) {
        label[n] = 0;
        blank[n] = 0;
        nextLabel[n] = 0;
        nextBlank[n] = 0;
      }
      low = from;
      high = Math.min(words.length - 1, reached + 1);
    }
    let end = words.length === 0 ? silence : 0;
    for (const last of lasts.at(-1) ?? []) end += label[last]! + blank[last]!;
    return Math.log(end) + scale + this.freeUpTo[this.frames]!;
  }

  /**
   * Where the words of a path lie and how they fit; `lead` is the loss before the first of them. Fillers are not
   * listed: what is lost on them counts as lead or as gap.
   */
  align(graph: PhoneGraph, said: readonly PathWord[]): { words: HeardWord[]; lead: number } {
    const words: HeardWord[] = [];
    const first = said[0]?.from ?? this.frames;
    let lead = this.freeUpTo[first]! - this.blanks(0, first);
    for (const { arc, word, node, from, to } of said) {
      const sound: number[] = [];
      for (let n = node; n >= 0; n = graph.parent[n]!) sound.unshift(graph.phone[n]!);
      const { until, spoken, rest } = this.place(sound, from, to);
      const margin = this.freeUpTo[until]! - this.freeUpTo[from]! - spoken;
      const gap = this.freeUpTo[to]! - this.freeUpTo[until]! - rest;
      const before = words.at(-1);
      if (arc !== skipped) words.push({ word: graph.spelling[word]!, from, to: until, margin, gap });
      else if (before === undefined) lead += margin + gap;
      else words[words.length - 1] = { ...before, gap: before.gap + margin + gap };
    }
    return { words, lead };
  }

  private blanks(from: number, to: number): number {
    let sum = 0;
    for (let t = from; t < to; t++) sum += this.logp[t * outputs]!;
    return sum;
  }

  /** Best alignment of one word that begins at `from` and is over, blanks behind it included, at `to`. */
  private place(sound: readonly number[], from: number, to: number) {
    const length = sound.length;
    let label = new Float64Array(length).fill(never);
    let blank = new Float64Array(length).fill(never);
    // Of the last phone: score when it ended, and when that was.
    let until = to;
    let spoken = never;
    let best = never;
    for (let t = from; t < to; t++) {
      const row = t * outputs;
      const nextLabel = new Float64Array(length);
      const nextBlank = new Float64Array(length);
      for (let i = 0; i < length; i++) {
        let score = label[i]!;
        if (i > 0) score = Math.max(score, sound[i] === sound[i - 1] ? never : label[i - 1]!, blank[i - 1]!);
        else if (t === from) score = 0;
        nextLabel[i] = score + this.logp[row + sound[i]!]!;
        nextBlank[i] = Math.max(label[i]!, blank[i]!) + this.logp[row]!;
      }
      label = nextLabel;
      blank = nextBlank;
      const total = label[length - 1]! + this.blanks(t + 1, to);
      if (total > best) {
        best = total;
        spoken = label[length - 1]!;
        until = t + 1;
      }
    }
    return { until, spoken, rest: this.blanks(until, to) };
  }
}
