/**
 * What was said as the symbols that the learned reader takes in: the pieces of the composing reader, with words one by
 * one. A number is known by its unit and its rough size only, a species by being one: which they are is copied, never
 * learnt.
 */
import type { SaidPiece } from '../pieces.ts';
import type { Quantity, QuantityUnit } from '../said-numbers.ts';

export interface InputSymbol {
  readonly is: 'word' | 'number' | 'species' | 'ordinal' | 'break';
  /** A word, or what was said of a number or a name, in lower case. */
  readonly text: string;
  /** Words that stand for it where it is taken in: its own, or a number or a tree of its kind. */
  readonly shown: readonly string[];
  /** What the lexicon knows of it, by name: `k:number`, `u:ft`, `s:3`, `c:girth`. */
  readonly features: readonly string[];
  readonly number?: Quantity;
  readonly ordinal?: number;
  readonly species?: string | number;
  /** The piece that it is of. */
  readonly piece: number;
}

/** Upper bounds of the rough sizes of numbers, in whatever unit; they stand for all of their size. */
const sizes = [1, 2, 3, 5, 8, 12, 20, 35, 60, 100, 200, 1000];
const larger = 2000;

const shownUnits = {
  ft: ['feet'],
  m: ['meters'],
  cm: ['centimeters'],
  in: ['inches'],
  chain: ['chains'],
  yd: ['yards'],
  deg: ['degrees'],
  pct: ['percent'],
  acre: ['acres'],
  ha: ['hectares'],
  m2: ['square', 'meters'],
  paces: ['paces'],
  steps: ['steps'],
  logs: ['logs'],
} as const satisfies Record<QuantityUnit, readonly string[]>;

const shownOrdinals = ['first', 'second'];

const shownNumber = ({ value, unit }: Quantity): string[] => [
  String(sizes[sizeOf(Math.abs(value))] ?? larger),
  ...(unit === undefined ? [] : shownUnits[unit]),
];

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
    if (is === 'break') return [{ is, text, piece, shown: [text], features: ['k:break'] }];
    if (number !== undefined)
      return [
        { is: 'number', text, number, piece, shown: shownNumber(number), features: numberFeatures(number) },
      ];
    if (ordinal !== undefined)
      return [
        {
          is: 'ordinal',
          text,
          ordinal,
          piece,
          shown: [shownOrdinals[sizeOf(ordinal)] ?? 'third'],
          features: ['k:ordinal', `s:${sizeOf(ordinal)}`, ...said],
        },
      ];
    if (species !== undefined) {
      const genus = typeof species === 'string' ? ['n:group'] : [];
      return [
        {
          is: 'species',
          text,
          species,
          piece,
          shown: [many ? 'oaks' : 'oak'],
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
      .map((word) => ({ is: 'word', text: word, piece, shown: [word], features: shared }));
  });
}

/** Whether it is a number that is told in any case: "a", "one" of something is often none. */
export const isCounted = ({ number, text }: Pick<InputSymbol, 'number' | 'text'>): boolean =>
  number !== undefined && !/^(?:an?|one)$/.test(text);
