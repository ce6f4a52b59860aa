/**
 * The network of the learned reader: an encoder over the symbols that were said, and a decoder that writes the plain form,
 * at each step a word of its own or a symbol that was said. Both of layers of attention (Vaswani and others 2017, with the
 * normalisation before each part), copying as in pointer networks (Vinyals and others 2015).
 */
import { type InputSymbol, trigramKinds, trigramsOf } from './symbols.ts';
import type { Matrix, Weights } from './weights.ts';

/** Affine map: rows of outputs. */
interface Linear {
  readonly weight: Matrix;
  readonly bias: Float32Array | undefined;
}

interface Norm {
  readonly weight: Float32Array;
  readonly bias: Float32Array;
}

interface Attention {
  readonly norm: Norm;
  readonly query: Linear;
  readonly key: Linear;
  readonly value: Linear;
  readonly out: Linear;
}

interface Layer {
  readonly own: Attention;
  readonly norm: Norm;
  readonly up: Linear;
  readonly down: Linear;
}

interface WritingLayer extends Layer {
  /** To what was said. */
  readonly across: Attention;
}

/** Symbols that the encoder has places for. */
export const mostSymbols = 72;
/** Steps that the decoder has places for. */
export const mostSteps = 64;

/** What one layer of the decoder remembers: keys and values of what was said. */
interface Said {
  readonly keys: Float32Array;
  readonly values: Float32Array;
}

/** What was said, encoded. */
export interface EncodedNote {
  readonly length: number;
  /** The output of the encoder, row by row. */
  readonly memory: Float32Array;
  readonly layers: readonly Said[];
  /** Keys by which symbols are chosen to be copied. */
  readonly copyKeys: Float32Array;
}

/** What a decoder has written so far: keys and values of its own layers. */
export interface State {
  readonly length: number;
  readonly layers: readonly Said[];
}

const epsilon = 1e-5;

/** `out[o] = bias[o] + weight[o] . x`, for a row of `input` that begins at `from`. */
function apply(
  { weight, bias }: Linear,
  input: Float32Array,
  from: number,
  out: Float32Array,
  to: number,
): void {
  const { rows, columns, values } = weight;
  for (let row = 0; row < rows; row++) {
    let sum = bias === undefined ? 0 : bias[row]!;
    const begins = row * columns;
    for (let at = 0; at < columns; at++) sum += values[begins + at]! * input[from + at]!;
    out[to + row] = sum;
  }
}

function normalised({ weight, bias }: Norm, input: Float32Array, from: number, width: number): Float32Array {
  let mean = 0;
  for (let at = 0; at < width; at++) mean += input[from + at]!;
  mean /= width;
  let variance = 0;
  for (let at = 0; at < width; at++) variance += (input[from + at]! - mean) ** 2;
  const scale = 1 / Math.sqrt(variance / width + epsilon);
  const out = new Float32Array(width);
  for (let at = 0; at < width; at++) out[at] = (input[from + at]! - mean) * scale * weight[at]! + bias[at]!;
  return out;
}

export class PlainFormNetwork {
  readonly width: number;
  /** Words that are written; the first ends the plain form. */
  readonly words: readonly string[];
  private readonly featureOf: ReadonlyMap<string, number>;
  private readonly vectorOf: ReadonlyMap<string, number>;
  private readonly features: Matrix;
  private readonly trigrams: Matrix;
  private readonly vectors: Matrix;
  private readonly vector: Linear;
  private readonly places: Matrix;
  private readonly turns: Matrix;
  private readonly word: Matrix;
  private readonly wordBias: Float32Array;
  private readonly encoder: readonly Layer[];
  private readonly decoder: readonly WritingLayer[];
  private readonly inNorm: Norm;
  private readonly encodedNorm: Norm;
  private readonly writtenNorm: Norm;
  private readonly copied: Linear;
  private readonly copyQuery: Linear;
  private readonly copyKey: Linear;
  private readonly heads: number;

  constructor(weights: Weights) {
    const linear = (name: string, biased = true): Linear => ({
      weight: weights.matrix(`${name}.weight`),
      bias: biased ? weights.matrix(`${name}.bias`).values : undefined,
    });
    const norm = (name: string): Norm => ({
      weight: weights.matrix(`${name}.weight`).values,
      bias: weights.matrix(`${name}.bias`).values,
    });
    const attention = (layer: string, own: '' | 'c'): Attention => ({
      norm: norm(`${layer}.${own === '' ? 'n1' : 'n2'}`),
      query: linear(`${layer}.${own}q`),
      key: linear(`${layer}.${own}k`),
      value: linear(`${layer}.${own}v`),
      out: linear(`${layer}.${own}o`),
    });
    const layers = (stack: string): readonly (readonly [string, Layer])[] => {
      const many = Number(weights.names(stack)[0]);
      return Array.from({ length: many }, (_, nth) => {
        const name = `${stack}.${nth}`;
        const parts = { norm: norm(`${name}.n3`), up: linear(`${name}.up`), down: linear(`${name}.down`) };
        return [name, { own: attention(name, ''), ...parts }] as const;
      });
    };
    const numbered = (table: string): Map<string, number> =>
      new Map(weights.names(table).map((name, at) => [name, at + 1]));
    this.heads = weights.heads;
    this.words = ['', ...weights.names('words')];
    this.featureOf = numbered('features');
    this.vectorOf = numbered('vectors');
    this.features = weights.matrix('feature.weight');
    this.trigrams = weights.matrix('trigram.weight');
    this.vectors = weights.matrix('vectors');
    this.vector = linear('vector', false);
    this.places = weights.matrix('place.weight');
    this.turns = weights.matrix('turn.weight');
    this.word = weights.matrix('word.weight');
    this.wordBias = weights.matrix('bias').values;
    this.encoder = layers('encoder').map(([, layer]) => layer);
    this.decoder = layers('decoder').map(([name, layer]) => ({ ...layer, across: attention(name, 'c') }));
    this.inNorm = norm('n_in');
    this.encodedNorm = norm('n_enc');
    this.writtenNorm = norm('n_dec');
    this.copied = linear('copied');
    this.copyQuery = linear('cq');
    this.copyKey = linear('ck');
    this.width = this.features.columns;
  }

  /** At most `mostSymbols` symbols. */
  encode(said: readonly InputSymbol[]): EncodedNote {
    const { width } = this;
    const length = said.length;
    const rows = new Float32Array(length * width);
    said.forEach((symbol, place) => {
      rows.set(this.input(symbol, place), place * width);
    });
    for (const layer of this.encoder) {
      const even = this.evened(layer.own.norm, rows);
      const queries = this.through(layer.own.query, even);
      const keys = this.through(layer.own.key, even);
      const values = this.through(layer.own.value, even);
      for (let row = 0; row < length; row++) {
        const seen = this.attend(queries.subarray(row * width, (row + 1) * width), { keys, values }, length);
        this.add(layer.own.out, seen, rows, row);
        this.feed(layer, rows, row);
      }
    }
    const memory = this.evened(this.encodedNorm, rows);
    const layers = this.decoder.map(({ across }) => ({
      keys: this.through(across.key, memory),
      values: this.through(across.value, memory),
    }));
    return { length, memory, layers, copyKeys: this.through(this.copyKey, memory) };
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
    const { width } = this;
    const row = new Float32Array(width);
    if (last < this.words.length) {
      const scale = Math.sqrt(width);
      for (let at = 0; at < width; at++) row[at] = this.word.values[last * width + at]! * scale;
    } else apply(this.copied, said.memory, (last - this.words.length) * width, row, 0);
    for (let at = 0; at < width; at++) row[at]! += this.turns.values[state.length * width + at]!;
    const layers = this.decoder.map((layer, nth) => {
      const h = normalised(layer.own.norm, row, 0, width);
      const own = this.longer(state.layers[nth]!, layer.own, h);
      const query = this.mapped(layer.own.query, h);
      this.add(layer.own.out, this.attend(query, own, state.length + 1), row, 0);
      const { across } = layer;
      const asked = this.mapped(across.query, normalised(across.norm, row, 0, width));
      this.add(across.out, this.attend(asked, said.layers[nth]!, said.length), row, 0);
      this.feed(layer, row, 0);
      return own;
    });
    const h = normalised(this.writtenNorm, row, 0, width);
    return { state: { length: state.length + 1, layers }, chances: this.chancesOf(said, h) };
  }

  private chancesOf(said: EncodedNote, h: Float32Array): Float32Array {
    const { width, words } = this;
    const chances = new Float32Array(words.length + said.length);
    apply({ weight: this.word, bias: this.wordBias }, h, 0, chances, 0);
    const query = this.mapped(this.copyQuery, h);
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

  /** What a symbol is to the encoder. */
  private input(symbol: InputSymbol, place: number): Float32Array {
    const { width } = this;
    const row = new Float32Array(width);
    const addRow = ({ values }: Matrix, at: number, share = 1): void => {
      for (let i = 0; i < width; i++) row[i]! += values[at * width + i]! * share;
    };
    for (const name of symbol.features) {
      const at = this.featureOf.get(name);
      if (at !== undefined) addRow(this.features, at);
    }
    if (symbol.is === 'word') {
      const threes = trigramsOf(symbol.text);
      for (const three of threes) if (three < trigramKinds) addRow(this.trigrams, three, 1 / threes.length);
      const known = this.vectorOf.get(symbol.text);
      if (known !== undefined) {
        const mapped = new Float32Array(width);
        apply(this.vector, this.vectors.values, known * this.vectors.columns, mapped, 0);
        for (let i = 0; i < width; i++) row[i]! += mapped[i]!;
      }
    }
    addRow(this.places, place);
    return normalised(this.inNorm, row, 0, width);
  }

  private mapped(linear: Linear, input: Float32Array): Float32Array {
    const out = new Float32Array(linear.weight.rows);
    apply(linear, input, 0, out, 0);
    return out;
  }

  /** Every row normalised. */
  private evened(norm: Norm, rows: Float32Array): Float32Array {
    const out = new Float32Array(rows.length);
    for (let from = 0; from < rows.length; from += this.width)
      out.set(normalised(norm, rows, from, this.width), from);
    return out;
  }

  /** Every row through a map. */
  private through(linear: Linear, rows: Float32Array): Float32Array {
    const out = new Float32Array(rows.length);
    for (let from = 0; from < rows.length; from += this.width) apply(linear, rows, from, out, from);
    return out;
  }

  /** Keys and values with those of one row more. */
  private longer({ keys, values }: Said, { key, value }: Attention, h: Float32Array): Said {
    const grown = (before: Float32Array, linear: Linear): Float32Array => {
      const after = new Float32Array(before.length + this.width);
      after.set(before);
      apply(linear, h, 0, after, before.length);
      return after;
    };
    return { keys: grown(keys, key), values: grown(values, value) };
  }

  private attend(query: Float32Array, { keys, values }: Said, length: number): Float32Array {
    const { width, heads } = this;
    const part = width / heads;
    const out = new Float32Array(width);
    const weights = new Float32Array(length);
    const scale = 1 / Math.sqrt(part);
    for (let from = 0; from < width; from += part) {
      let most = Number.NEGATIVE_INFINITY;
      for (let row = 0; row < length; row++) {
        let sum = 0;
        for (let at = from; at < from + part; at++) sum += query[at]! * keys[row * width + at]!;
        weights[row] = sum * scale;
        most = Math.max(most, weights[row]!);
      }
      let total = 0;
      for (let row = 0; row < length; row++) {
        weights[row] = Math.exp(weights[row]! - most);
        total += weights[row]!;
      }
      for (let row = 0; row < length; row++) {
        const share = weights[row]! / total;
        for (let at = from; at < from + part; at++) out[at]! += share * values[row * width + at]!;
      }
    }
    return out;
  }

  private add(linear: Linear, input: Float32Array, rows: Float32Array, row: number): void {
    const out = this.mapped(linear, input);
    for (let at = 0; at < this.width; at++) rows[row * this.width + at]! += out[at]!;
  }

  private feed({ norm, up, down }: Layer, rows: Float32Array, row: number): void {
    const hidden = this.mapped(up, normalised(norm, rows, row * this.width, this.width));
    for (let at = 0; at < hidden.length; at++) if (hidden[at]! < 0) hidden[at] = 0;
    this.add(down, hidden, rows, row);
  }
}
