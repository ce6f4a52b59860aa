/**
 * The network of the learned reader: what was said is taken in by an encoder, and a decoder writes the plain form, at each
 * step a word of its own or a symbol that was said. Layers of attention (Vaswani and others 2017, with the normalisation
 * before each part), copying as in pointer networks (Vinyals and others 2015).
 */
import { NoteEncoder } from './encoder.ts';
import {
  addRow,
  addTo,
  attend,
  type Linear,
  linearOf,
  type Norm,
  normalised,
  normOf,
  type SeenRows,
  through,
} from './layers.ts';
import type { InputSymbol } from './symbols.ts';
import type { Matrix, Weights } from './weights.ts';

interface Attention {
  readonly norm: Norm;
  readonly query: Linear;
  readonly key: Linear;
  readonly value: Linear;
  readonly out: Linear;
}

interface WritingLayer {
  readonly own: Attention;
  /** To what was said. */
  readonly across: Attention;
  readonly norm: Norm;
  readonly up: Linear;
  readonly down: Linear;
}

/** Steps that the decoder has places for. */
export const mostSteps = 64;

/** What was said, encoded. */
export interface EncodedNote {
  readonly length: number;
  /** The output of the encoder, row by row. */
  readonly memory: Float32Array;
  /** What each layer of the decoder sees of it. */
  readonly layers: readonly SeenRows[];
  /** Keys by which symbols are chosen to be copied. */
  readonly copyKeys: Float32Array;
}

/** What a decoder has written so far: keys and values of its own layers. */
export interface State {
  readonly length: number;
  readonly layers: readonly SeenRows[];
}

export class PlainFormNetwork {
  /** Words that are written; the first ends the plain form. */
  readonly words: readonly string[];
  private readonly encoder: NoteEncoder;
  private readonly decoder: readonly WritingLayer[];
  private readonly width: number;
  private readonly heads: number;
  private readonly turns: Matrix;
  private readonly word: Matrix;
  private readonly chosen: Linear;
  private readonly writtenNorm: Norm;
  private readonly copied: Linear;
  private readonly copyQuery: Linear;
  private readonly copyKey: Linear;

  constructor(weights: Weights) {
    const attention = (layer: string, own: '' | 'c'): Attention => ({
      norm: normOf(weights, `${layer}.${own === '' ? 'n1' : 'n2'}`),
      query: linearOf(weights, `${layer}.${own}q`),
      key: linearOf(weights, `${layer}.${own}k`),
      value: linearOf(weights, `${layer}.${own}v`),
      out: linearOf(weights, `${layer}.${own}o`),
    });
    this.words = ['', ...weights.names('words')];
    this.encoder = new NoteEncoder(weights);
    this.decoder = Array.from({ length: weights.count('decoder') }, (_, nth) => {
      const name = `decoder.${nth}`;
      return {
        own: attention(name, ''),
        across: attention(name, 'c'),
        norm: normOf(weights, `${name}.n3`),
        up: linearOf(weights, `${name}.up`),
        down: linearOf(weights, `${name}.down`),
      };
    });
    this.heads = weights.count('heads');
    this.turns = weights.matrix('turn.weight');
    this.word = weights.matrix('word.weight');
    this.chosen = { weight: this.word, bias: weights.vector('bias') };
    this.writtenNorm = normOf(weights, 'n_dec');
    this.copied = linearOf(weights, 'copied');
    this.copyQuery = linearOf(weights, 'cq');
    this.copyKey = linearOf(weights, 'ck');
    this.width = this.word.columns;
  }

  /** At most `mostSymbols` symbols. `before`: words of what was told before. */
  encode(said: readonly InputSymbol[], before: readonly (readonly string[])[] = []): EncodedNote {
    const memory = this.encoder.encode(said, before);
    const layers = this.decoder.map(({ across }) => ({
      keys: through(across.key, memory),
      values: through(across.value, memory),
    }));
    return { length: said.length, memory, layers, copyKeys: through(this.copyKey, memory) };
  }

  /** Before anything is written. */
  begin(): State {
    const none = new Float32Array(0);
    return { length: 0, layers: this.decoder.map(() => ({ keys: none, values: none })) };
  }

  /**
   * What may be written next, as logarithms of chances: first the words, then the symbols that were said. `last`: what
   * was written before, counted alike; 0 at the beginning.
   */
  next(
    said: EncodedNote,
    state: State,
    last: number,
  ): { readonly state: State; readonly chances: Float32Array } {
    const row = this.written(said, last);
    addRow(this.turns, state.length, row, 0);
    const layers = this.decoder.map((layer, nth) => {
      const { own, across } = layer;
      const h = normalised(own.norm, row);
      const seen = longer(state.layers[nth]!, own, h);
      addTo(row, through(own.out, this.looked(through(own.query, h), seen)));
      const asked = through(across.query, normalised(across.norm, row));
      addTo(row, through(across.out, this.looked(asked, said.layers[nth]!)));
      const hidden = through(layer.up, normalised(layer.norm, row));
      for (let at = 0; at < hidden.length; at++) if (hidden[at]! < 0) hidden[at] = 0;
      addTo(row, through(layer.down, hidden));
      return seen;
    });
    const h = normalised(this.writtenNorm, row);
    return { state: { length: state.length + 1, layers }, chances: this.chancesOf(said, h) };
  }

  /** A word that was written, or the symbol that was copied. */
  private written(said: EncodedNote, last: number): Float32Array {
    const { width } = this;
    if (last >= this.words.length) {
      const from = (last - this.words.length) * width;
      return through(this.copied, said.memory.subarray(from, from + width));
    }
    const row = new Float32Array(width);
    addRow(this.word, last, row, 0);
    return row.map((value) => value * Math.sqrt(width));
  }

  private looked(queries: Float32Array, seen: SeenRows): Float32Array {
    return attend(queries, seen, this.width, this.heads);
  }

  private chancesOf(said: EncodedNote, h: Float32Array): Float32Array {
    const { width, words } = this;
    const chances = new Float32Array(words.length + said.length);
    chances.set(through(this.chosen, h));
    const query = through(this.copyQuery, h);
    const scale = 1 / Math.sqrt(width);
    for (let place = 0; place < said.length; place++) {
      let sum = 0;
      for (let at = 0; at < width; at++) sum += query[at]! * said.copyKeys[place * width + at]!;
      chances[words.length + place] = sum * scale;
    }
    let most = Number.NEGATIVE_INFINITY;
    for (const chance of chances) if (chance > most) most = chance;
    let total = 0;
    for (const chance of chances) total += Math.exp(chance - most);
    const log = most + Math.log(total);
    return chances.map((chance) => chance - log);
  }
}

/** Keys and values with those of one row more. */
function longer({ keys, values }: SeenRows, { key, value }: Attention, h: Float32Array): SeenRows {
  const grown = (before: Float32Array, linear: Linear): Float32Array => {
    const after = new Float32Array(before.length + h.length);
    after.set(before);
    after.set(through(linear, h), before.length);
    return after;
  };
  return { keys: grown(keys, key), values: grown(values, value) };
}
