/**
 * The half of the network that takes in what was said: an encoder that has read much text before (BERT, Devlin and others
 * 2018, small as MiniLM, Wang and others 2020), over pieces of words. What the lexicon says of a symbol is added at its
 * first piece, and what comes out there stands for the symbol.
 */
import {
  addRow,
  addTo,
  attend,
  type Linear,
  linearOf,
  type Norm,
  normalised,
  normOf,
  through,
} from './layers.ts';
import type { InputSymbol } from './symbols.ts';
import type { Matrix, Weights } from './weights.ts';
import { WordPieces } from './word-pieces.ts';

interface ReadingLayer {
  readonly query: Linear;
  readonly key: Linear;
  readonly value: Linear;
  readonly out: Linear;
  readonly attended: Norm;
  readonly up: Linear;
  readonly down: Linear;
  readonly fed: Norm;
}

/** Symbols that are taken in. */
export const mostSymbols = 72;
/** Pieces between the marks of begin and end. */
const mostPieces = 126;
/** Pieces of each thing that was told before. */
const mostOfBefore = 12;
/** Of the encoder as it was pretrained. */
const epsilon = 1e-12;

export class NoteEncoder {
  private readonly pieces: WordPieces;
  private readonly featureOf: ReadonlyMap<string, number>;
  private readonly piece: Matrix;
  private readonly place: Matrix;
  private readonly feature: Matrix;
  private readonly before: Matrix;
  private readonly known: Matrix;
  private readonly layers: readonly ReadingLayer[];
  private readonly inNorm: Norm;
  private readonly outNorm: Norm;
  private readonly narrow: Linear;
  private readonly heads: number;

  constructor(weights: Weights) {
    this.pieces = new WordPieces(weights.names('pieces'));
    this.featureOf = new Map(weights.names('features').map((name, at) => [name, at + 1]));
    this.piece = weights.matrix('piece.weight');
    this.place = weights.matrix('place.weight');
    this.feature = weights.matrix('feature.weight');
    this.before = weights.matrix('before.weight');
    this.known = weights.matrix('said.weight');
    this.layers = Array.from({ length: weights.count('encoder') }, (_, nth) => {
      const name = `encoder.${nth}`;
      return {
        query: linearOf(weights, `${name}.q`),
        key: linearOf(weights, `${name}.k`),
        value: linearOf(weights, `${name}.v`),
        out: linearOf(weights, `${name}.o`),
        attended: normOf(weights, `${name}.n1`, epsilon),
        up: linearOf(weights, `${name}.up`),
        down: linearOf(weights, `${name}.down`),
        fed: normOf(weights, `${name}.n2`, epsilon),
      };
    });
    this.inNorm = normOf(weights, 'n_in', epsilon);
    this.outNorm = normOf(weights, 'n_enc');
    this.narrow = linearOf(weights, 'narrow');
    this.heads = weights.count('wide_heads');
  }

  /** A row for each symbol, as wide as the decoder. `before`: words of what was told before (`shownBefore`). */
  encode(said: readonly InputSymbol[], before: readonly (readonly string[])[] = []): Float32Array {
    const width = this.piece.columns;
    const { ids, first, parts } = this.cut(said, before);
    const known = said.map((symbol) => this.featuresOf(symbol));
    const taken = new Float32Array(ids.length * width);
    ids.forEach((id, at) => {
      addRow(this.piece, id, taken, at * width);
      addRow(this.place, at, taken, at * width);
      addRow(this.before, parts[at] ?? 0, taken, at * width);
    });
    known.forEach((features, nth) => {
      for (const one of features) addRow(this.feature, one, taken, first[nth]! * width);
    });
    let rows = normalised(this.inNorm, taken);
    for (const layer of this.layers) rows = this.passed(layer, rows);
    const chosen = new Float32Array(said.length * width);
    first.forEach((at, nth) => {
      chosen.set(rows.subarray(at * width, (at + 1) * width), nth * width);
    });
    const out = through(this.narrow, chosen);
    const narrow = out.length / said.length;
    known.forEach((features, nth) => {
      for (const one of features) addRow(this.known, one, out, nth * narrow);
    });
    return normalised(this.outNorm, out);
  }

  /** Pieces, where each symbol's first one stands, and of which part of what was told before each is (0: of none). */
  private cut(
    said: readonly InputSymbol[],
    before: readonly (readonly string[])[],
  ): {
    readonly ids: readonly number[];
    readonly first: readonly number[];
    readonly parts: readonly number[];
  } {
    const ids = [this.pieces.place('[CLS]')];
    const first: number[] = [];
    for (const { shown } of said) {
      first.push(ids.length);
      for (const word of shown) ids.push(...this.pieces.of(word));
    }
    const end = this.pieces.place('[SEP]');
    const all = [...ids.slice(0, mostPieces + 1), end];
    const parts = all.map(() => 0);
    before.forEach((words, nth) => {
      if (words.length === 0) return;
      const own = words.flatMap((word) => this.pieces.of(word)).slice(0, mostOfBefore);
      for (const id of [...own, end]) {
        all.push(id);
        parts.push(nth + 1);
      }
    });
    return { ids: all, first: first.map((at) => Math.min(at, mostPieces)), parts };
  }

  private featuresOf({ features }: InputSymbol): number[] {
    return features.flatMap((name) => this.featureOf.get(name) ?? []);
  }

  private passed(layer: ReadingLayer, rows: Float32Array): Float32Array {
    const seen = { keys: through(layer.key, rows), values: through(layer.value, rows) };
    const looked = attend(through(layer.query, rows), seen, this.piece.columns, this.heads);
    const attended = through(layer.out, looked);
    addTo(attended, rows);
    const middle = normalised(layer.attended, attended);
    const hidden = through(layer.up, middle);
    for (let at = 0; at < hidden.length; at++) hidden[at] = gelu(hidden[at]!);
    const fed = through(layer.down, hidden);
    addTo(fed, middle);
    return normalised(layer.fed, fed);
  }
}

/** The Gaussian error linear unit (Hendrycks and Gimpel 2016): `x` times the chance that a normal number is below it. */
function gelu(x: number): number {
  return 0.5 * x * (1 + errorFunction(x / Math.SQRT2));
}

/** Abramowitz and Stegun 7.1.26, to 1.5e-7. */
function errorFunction(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const sum =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - sum * Math.exp(-x * x);
  return x < 0 ? -erf : erf;
}
