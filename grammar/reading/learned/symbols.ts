/**
 * What was said as the symbols that the learned reader takes in: the pieces of the composing reader, with words one by
 * one. A number is known by its unit and its rough size only, a species by being one: which they are is copied, never
 * learnt.
 */
import type { SaidPiece } from '../pieces.ts';
import type { Quantity } from '../said-numbers.ts';

export interface InputSymbol {
  readonly is: 'word' | 'number' | 'species' | 'ordinal' | 'break';
  /** A word, or what was said of a number or a name, in lower case. */
  readonly text: string;
  /** What is known of it, by name: `k:number`, `u:ft`, `s:3`, `c:girth`. */
  readonly features: readonly string[];
  readonly number?: Quantity;
  readonly ordinal?: number;
  readonly species?: string | number;
  /** The piece that it is of. */
  readonly piece: number;
}

/** Upper bounds of the rough sizes of numbers, in whatever unit. */
const sizes = [1, 2, 3, 5, 8, 12, 20, 35, 60, 100, 200, 1000];

const sizeOf = (value: number): number => {
  const found = sizes.findIndex((bound) => value <= bound);
  return found < 0 ? sizes.length : found;
};

function numberFeatures({ value, unit, pair, sign, sides, letter }: Quantity): string[] {
  const features = ['k:number', `u:${unit ?? 'none'}`, `s:${sizeOf(Math.abs(value))}`];
  if (!Number.isInteger(value)) features.push('n:part');
  if (pair !== undefined) features.push('n:pair');
  if (sign !== undefined) features.push(sign < 0 ? 'n:minus' : 'n:plus');
  if (sides !== undefined) features.push('n:sides');
  if (letter !== undefined) features.push('n:letter');
  return features;
}

/** Symbols of the pieces, in their order. */
export function symbolsOf(pieces: readonly SaidPiece[]): InputSymbol[] {
  return pieces.flatMap((one, piece): InputSymbol[] => {
    const { is, text, number, ordinal, species, many, mark, concepts, capital, unknown } = one;
    const said = [...concepts].map((concept) => `c:${concept}`);
    if (is === 'break') return [{ is, text, piece, features: ['k:break', `w:${text}`] }];
    if (number !== undefined)
      return [{ is: 'number', text, number, piece, features: numberFeatures(number) }];
    if (ordinal !== undefined)
      return [
        { is: 'ordinal', text, ordinal, piece, features: ['k:ordinal', `s:${sizeOf(ordinal)}`, ...said] },
      ];
    if (species !== undefined) {
      const genus = typeof species === 'string' ? ['n:group'] : [];
      return [
        {
          is: 'species',
          text,
          species,
          piece,
          features: ['k:species', ...genus, ...(many ? ['n:many'] : [])],
        },
      ];
    }
    const shared = [
      'k:word',
      ...said,
      ...(mark === undefined ? [] : ['k:mark']),
      ...(capital ? ['n:capital'] : []),
      ...(unknown ? ['n:unknown'] : []),
    ];
    return text
      .split(' ')
      .map((word) => ({ is: 'word', text: word, piece, features: [...shared, `w:${word}`] }));
  });
}

/** Whether it is a number that is told in any case: "a", "one" of something is often none. */
export const isCounted = ({ number, text }: Pick<InputSymbol, 'number' | 'text'>): boolean =>
  number !== undefined && !/^(?:an?|one)$/.test(text);

/** Kinds of three letters in a row that are told apart. */
export const trigramKinds = 2048;

/** The threes of letters of a word, with its borders, each as one of so many kinds: what a slip leaves of it. */
export function trigramsOf(word: string): number[] {
  const edged = `^${word}$`;
  const kinds: number[] = [];
  for (let at = 0; at + 3 <= edged.length; at++) {
    let hash = 2166136261;
    for (let of = at; of < at + 3; of++) hash = Math.imul(hash ^ edged.charCodeAt(of), 16777619) >>> 0;
    kinds.push(hash % trigramKinds);
  }
  return kinds;
}
