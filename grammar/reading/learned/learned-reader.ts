/**
 * The reader that was trained on many ways to say things: it writes what was said in the notebook's plain words, by a
 * network that can only copy numbers and names. What it writes is read by the other readers; it never keeps anything by
 * itself.
 */
import type { SaidPiece } from '../pieces.ts';
import { mostSymbols } from './encoder.ts';
import { type EncodedNote, mostSteps, PlainFormNetwork, type State } from './network.ts';
import { plainText, specialMark, stretchesOf, type WrittenSymbol } from './plain-form.ts';
import { type InputSymbol, isCounted, symbolsOf } from './symbols.ts';
import type { Weights } from './weights.ts';

/** A plain form of what was said. */
export interface PlainForm {
  readonly text: string;
  /** Its chance, of 1. */
  readonly chance: number;
  /** Pieces of what was said that were copied, by their places. */
  readonly copied: ReadonlySet<number>;
}

/** Plain forms that are followed at once. */
const beam = 4;

/** What it costs a plain form to leave out a number. */
const withoutNumber = 4;
interface Way {
  readonly steps: readonly number[];
  readonly log: number;
  readonly state: State;
}

export class LearnedReader {
  private readonly network: PlainFormNetwork;

  constructor(weights: Weights) {
    this.network = new PlainFormNetwork(weights);
  }

  /** The likeliest plain forms of what was said, best first; none for what is too long. `before`: see `shownBefore`. */
  formsOf(pieces: readonly SaidPiece[], before: readonly (readonly string[])[] = []): readonly PlainForm[] {
    const said = symbolsOf(pieces);
    if (said.length === 0 || said.length > mostSymbols) return [];
    const found = new Map<string, PlainForm>();
    for (const { steps, log } of this.search(said, before)) {
      const form = this.formOf(steps, Math.exp(log), said);
      const known = found.get(form.text);
      // Copied or written, it is the same.
      found.set(form.text, known === undefined ? form : { ...known, chance: known.chance + form.chance });
    }
    return [...found.values()].sort((a, b) => b.chance - a.chance);
  }

  private formOf(steps: readonly number[], chance: number, said: readonly InputSymbol[]): PlainForm {
    const written = this.written(steps);
    const copied = [...toldBy(written)].map((at) => said[at]!.piece);
    return { text: plainText(written, said), chance, copied: new Set(copied) };
  }

  private written(steps: readonly number[]): WrittenSymbol[] {
    const { words } = this.network;
    return steps.map((step) =>
      step < words.length ? { word: words[step]! } : { copy: step - words.length },
    );
  }

  private search(symbols: readonly InputSymbol[], before: readonly (readonly string[])[]): Way[] {
    const { words } = this.network;
    const said: EncodedNote = this.network.encode(symbols, before);
    const numbers = [...symbols.keys()].filter((at) => isCounted(symbols[at]!));
    /** A number that was said is told, unless nothing of the whole is. */
    const lacks = ({ steps }: Way): boolean => {
      if (words[steps[0] ?? 0]?.startsWith(specialMark) === true) return false;
      const told = toldBy(this.written(steps));
      return numbers.some((at) => !told.has(at));
    };
    const ended: Way[] = [];
    let ways: Way[] = [{ steps: [], log: 0, state: this.network.begin() }];
    for (let turn = 0; turn < mostSteps && ways.length > 0; turn++) {
      const longer: Way[] = [];
      for (const way of ways) {
        const { state, chances } = this.network.next(said, way.state, way.steps.at(-1) ?? 0);
        for (const step of best(chances)) {
          const log = way.log + chances[step]!;
          if (step === 0) ended.push({ ...way, log: lacks(way) ? log - withoutNumber : log });
          else longer.push({ steps: [...way.steps, step], log, state });
        }
      }
      longer.sort((a, b) => b.log - a.log);
      ended.sort((a, b) => b.log - a.log);
      // What has ended better than all that goes on, so many times, cannot be overtaken.
      const worst = ended[beam - 1]?.log ?? Number.NEGATIVE_INFINITY;
      ways = longer.slice(0, beam).filter(({ log }) => log > worst);
    }
    return ended.slice(0, beam);
  }
}

/** Symbols that were copied, or stand in a stretch that was. */
function toldBy(written: readonly WrittenSymbol[]): ReadonlySet<number> {
  const told = new Set(written.flatMap((one) => ('copy' in one ? [one.copy] : [])));
  for (const { from, to } of stretchesOf(written).values()) for (let at = from; at <= to; at++) told.add(at);
  return told;
}

/** The likeliest steps. */
function best(chances: Float32Array): number[] {
  const steps: number[] = [];
  chances.forEach((chance, step) => {
    let at = steps.length;
    while (at > 0 && chances[steps[at - 1]!]! < chance) at--;
    if (at < beam) {
      steps.splice(at, 0, step);
      if (steps.length > beam) steps.pop();
    }
  });
  return steps;
}
