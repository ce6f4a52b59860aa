/**
 * A stretch of pieces that is to be one note: what stands in it, and what each of its numbers is of. A number belongs to
 * what its unit says, else to the nearest word beside it that a number can stand with; what neither says stays bare.
 */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { footingAt } from './compose-footing.ts';
import { isReach } from './free-words.ts';
import type { SaidPiece } from './pieces.ts';
import type { Quantity, QuantityUnit } from './said-numbers.ts';

/** What a number is of. */
export type Label =
  | 'diameter'
  | 'girth'
  | 'height'
  | 'distance'
  | 'eye'
  | 'pace'
  | 'top'
  | 'base'
  | 'angle'
  | 'slope'
  | 'defect'
  | 'percent'
  | 'logs'
  | 'merch'
  | 'plot'
  | 'tree'
  | 'radius'
  | 'area'
  | 'sides'
  | 'factor'
  | 'stick'
  | 'arm'
  | 'pole'
  | 'shadow'
  | 'count'
  | 'lean'
  | 'below'
  | 'bare'
  /** How far something goes that was seen on a tree. */
  | 'reach'
  /** Of something that nobody here knows. */
  | 'other';

/** What some pieces together mean, and which they are. */
export interface Draft {
  readonly notes: readonly [Note, ...Note[]];
  /** Another meaning that is as good. */
  readonly other?: readonly [Note, ...Note[]];
  /** Places of the pieces that it rests on; the others must be light. */
  readonly used: ReadonlySet<number>;
  /** What speaks against it beside words left over: 0 for nothing. */
  readonly against: number;
  /** It is asked about in any case. */
  readonly unsure?: boolean;
}

/** The notes of one thing said. */
export type Several = readonly [Note, ...Note[]];

interface Cue {
  readonly label: Label;
  readonly concepts: readonly Concept[];
  /** Where the word may stand. */
  readonly side: 'before' | 'behind' | 'both';
  readonly units: readonly (QuantityUnit | 'none' | 'part')[];
  /** Only where this is spoken of as well. */
  readonly beside?: Concept;
}

const far = ['ft', 'm', 'yd', 'chain'] as const;
/** Words that tell what a number is of; of two that are as near the upper row holds. */
const cues: readonly Cue[] = [
  { label: 'below', concepts: ['belowFeet', 'aboveFeet'], side: 'behind', units: far },
  { label: 'eye', concepts: ['eye'], side: 'both', units: ['ft', 'm', 'cm', 'in', 'none'] },
  { label: 'arm', concepts: ['arm'], side: 'both', units: ['ft', 'm', 'cm', 'in', 'none'] },
  { label: 'girth', concepts: ['girth'], side: 'both', units: ['ft', 'm', 'cm', 'in', 'none'] },
  { label: 'radius', concepts: ['radius'], side: 'both', units: [...far, 'none'] },
  { label: 'merch', concepts: ['merch'], side: 'both', units: [...far, 'none'] },
  { label: 'shadow', concepts: ['shadow'], side: 'both', units: [...far, 'in', 'cm', 'none'] },
  { label: 'pole', concepts: ['pole'], side: 'both', units: [...far, 'in', 'cm', 'none'] },
  { label: 'pace', concepts: ['pace'], side: 'both', units: [...far, 'in', 'cm', 'none'] },
  { label: 'height', concepts: ['tall'], side: 'both', units: [...far, 'none'] },
  { label: 'height', concepts: ['device'], side: 'before', units: [...far, 'none'] },
  { label: 'height', concepts: ['estimate'], side: 'both', units: [...far] },
  { label: 'lean', concepts: ['lean'], side: 'before', units: ['ft', 'm', 'deg'] },
  { label: 'stick', concepts: ['stick'], side: 'both', units: ['in', 'cm', 'none'], beside: 'arm' },
  { label: 'stick', concepts: ['stick'], side: 'before', units: far, beside: 'arm' },
  { label: 'diameter', concepts: ['dbh'], side: 'both', units: ['in', 'cm', 'none'] },
  { label: 'factor', concepts: ['factor'], side: 'both', units: ['none', 'm2'] },
  { label: 'defect', concepts: ['defect'], side: 'both', units: ['pct', 'none'] },
  { label: 'defect', concepts: ['rot'], side: 'both', units: ['pct', 'part'] },
  { label: 'slope', concepts: ['slope'], side: 'both', units: ['pct', 'deg', 'none'] },
  { label: 'top', concepts: ['top'], side: 'both', units: ['pct', 'deg', 'none'] },
  { label: 'base', concepts: ['base'], side: 'both', units: ['pct', 'deg', 'none'] },
  { label: 'count', concepts: ['pole'], side: 'behind', units: ['none'] },
  { label: 'count', concepts: ['times', 'ofThem'], side: 'both', units: ['none'] },
  { label: 'plot', concepts: ['plot'], side: 'before', units: ['none'] },
  { label: 'tree', concepts: ['tree'], side: 'before', units: ['none'] },
  { label: 'distance', concepts: ['tape'], side: 'before', units: ['none'] },
  { label: 'distance', concepts: ['distance'], side: 'both', units: ['none'] },
];

/** What the unit alone says. */
const byUnit: Readonly<Record<QuantityUnit, Label>> = {
  ft: 'distance',
  m: 'distance',
  yd: 'distance',
  chain: 'distance',
  paces: 'distance',
  steps: 'distance',
  in: 'diameter',
  cm: 'diameter',
  deg: 'angle',
  pct: 'percent',
  acre: 'area',
  ha: 'area',
  m2: 'area',
  logs: 'logs',
};

const counted: ReadonlySet<QuantityUnit> = new Set<QuantityUnit>(['paces', 'steps', 'logs', 'acre', 'ha']);

const isSight = ({ label }: Cue): boolean => label === 'top' || label === 'base';
const distanceBefore = /(?:^| )(?:from|at|off|back|out|standing|stood|distance|dist|range)$/;
const distanceBehind =
  /^(?:out|away|off|back|distant|horizontal|horizontally|(?:from|to) the (?:tree|trunk|stem))$/;
/** "Stick at 45", "top at 41". */
const sights =
  /^(?:the )?(?:stick|rod|cane|top|tip|base|bottom|foot|angle|sight|sighted|reads?|reading|eye)$/;

/** Before the number of a tree. */
const isNumberWord = /^(?:tree|number|specimen|individual|tr|t)$/;

export class Scan {
  readonly numbers: readonly number[];
  readonly species: readonly number[];
  private readonly labels = new Map<number, Label>();
  /** Concepts that stand in it. */
  private readonly concepts = new Map<Concept, number>();

  constructor(
    readonly pieces: readonly SaidPiece[],
    readonly asked = false,
  ) {
    this.numbers = this.placesOf(({ is }) => is === 'number');
    this.species = this.placesOf(({ is }) => is === 'species');
    pieces.forEach((piece, at) => {
      for (const concept of piece.concepts) if (!this.concepts.has(concept)) this.concepts.set(concept, at);
    });
    for (const at of this.numbers) this.labels.set(at, this.labelOf(at));
  }

  placesOf(test: (piece: SaidPiece) => boolean): number[] {
    return this.pieces.flatMap((piece, at) => (test(piece) ? [at] : []));
  }

  has(...concepts: readonly Concept[]): boolean {
    return concepts.some((concept) => this.concepts.has(concept));
  }

  /** Where the first word of a concept stands; -1 where none does. */
  at(concept: Concept): number {
    return this.concepts.get(concept) ?? -1;
  }

  number(at: number): Quantity {
    const { number } = this.pieces[at]!;
    if (number === undefined) throw new Error(`piece ${at} is no number`);
    return number;
  }

  /** "This plot", "the circle": the one in hand. */
  isThisPlot(): boolean {
    return /\b(?:this|the|my) (?:plot|stop|point|sample|circle|station)\b/.test(this.text());
  }

  /** Told in paces or steps. */
  isWalked(at: number): boolean {
    return /^(?:paces|steps)$/.test(this.number(at).unit ?? '');
  }

  label(at: number): Label {
    return this.labels.get(at) ?? 'other';
  }

  /** The name at a place of a name. */
  name(at: number): string | number {
    return this.pieces[at]!.species ?? '';
  }

  /** The places of the numbers of a label. */
  of(...labels: readonly Label[]): number[] {
    return this.numbers.filter((at) => labels.includes(this.label(at)));
  }

  /** A piece beside another, without breaks and light words between; -1 where there is none. */
  beside(
    at: number,
    step: 1 | -1,
    over: (piece: SaidPiece) => boolean = (piece) => piece.light && piece.concepts.size === 0,
  ): number {
    for (let to = at + step; ; to += step) {
      const piece = this.pieces[to];
      if (piece === undefined || piece.is === 'break') return -1;
      if (!over(piece)) return to;
    }
  }

  /** True when a word stands right before a place, light words aside. */
  before(at: number, pattern: RegExp): boolean {
    for (let to = at - 1; to >= 0 && to >= at - 4; to--) {
      const piece = this.pieces[to]!;
      if (piece.is === 'break' || piece.is === 'number') return false;
      if (pattern.test(piece.text)) return true;
    }
    return false;
  }

  /** Words as they were said, one after another. */
  text(from = 0, to = this.pieces.length): string {
    return this.pieces
      .slice(from, to)
      .map(({ is, text }) => (is === 'break' && text !== 'and' ? ',' : text))
      .join(' ')
      .replaceAll(" '", "'")
      .replaceAll(' ,', ',');
  }

  private labelOf(at: number): Label {
    const { unit, sign, sides } = this.number(at);
    if (sides !== undefined) return 'sides';
    if (footingAt(this.pieces, at) !== undefined) return 'below';
    if (isReach(this.pieces, at)) return 'reach';
    if (this.isPlotNumber(at)) return 'plot';
    if (unit !== undefined && counted.has(unit)) return byUnit[unit];
    if (this.isStature(at)) return 'other';
    // "Tree 3 height?": asked of a tree, whatever stands behind its number.
    if (this.asked && unit === undefined && /^(?:tree|specimen)$/.test(this.pieces[at - 1]?.text ?? ''))
      return 'tree';
    // "Three feet through".
    if (unit === 'ft' && /^(?:through|thru|across)$/.test(this.pieces[at + 1]?.text ?? '')) return 'diameter';
    const bare = unit === undefined && sign === undefined ? this.bareLabel(at) : undefined;
    if (bare !== undefined) return bare;
    const best = this.cued(at);
    if (best !== undefined) return best;
    if (sign !== undefined && (unit === undefined || unit === 'pct' || unit === 'deg'))
      return sign > 0 ? 'top' : 'base';
    if (unit === undefined) return this.isFrom(at) ? 'distance' : 'bare';
    return byUnit[unit];
  }

  /** A whole number right behind a word for a plot. */
  private isPlotNumber(at: number): boolean {
    const { unit, sign, value } = this.number(at);
    const before = this.pieces[at - 1];
    return (
      unit === undefined &&
      sign === undefined &&
      Number.isInteger(value) &&
      value > 0 &&
      value <= 99 &&
      before?.concepts.has('plot') === true &&
      !/^(?:plots|stops|points|circle|circles|number)$/.test(before.text)
    );
  }

  /** "I'm five foot six": how tall somebody is. */
  isStature(at: number): boolean {
    const { unit, value } = this.number(at);
    const feet = unit === 'ft' ? value : unit === 'm' ? value * 3.28 : 0;
    if (feet < 4.2 || feet > 7.2 || Number.isInteger(value)) return false;
    const behind = this.pieces[at + 1];
    return (
      /(?:^| )(?:i|he|she) (?:am|is)(?: about| only| just)?$/.test(this.text(0, at)) &&
      (behind === undefined || behind.is === 'break' || behind.concepts.has('tall'))
    );
  }

  /** What a number without unit and sign is whatever stands beside it. */
  private bareLabel(at: number): Label | undefined {
    const next = this.pieces[at + 1];
    // "Tree three ht 62 ft"; "pear tree nine" is a name.
    const before = this.pieces[at - 1]?.text ?? '';
    const ofTree = this.pieces[at - 2]?.text === 'tree';
    const ofPlot = before === 'number' && !ofTree && this.has('plot', 'fixed', 'radius');
    if (isNumberWord.test(before) && !ofPlot && this.pieces[at - 2]?.is !== 'species') return 'tree';
    // "Did one with the relascope" names a plot, no number.
    if (this.number(at).value === 1 && /^(?:did|done)$/.test(before)) return 'other';
    // "The last two" are no tree of two inches.
    if (/^last$/.test(this.pieces[at - 1]?.text ?? '')) return 'other';
    // "The 26" is a tree.
    if (
      /^(?:the|that|those)$/.test(this.pieces[at - 1]?.text ?? '') &&
      next?.is !== 'mark' &&
      next?.concepts.has('factor') !== true
    )
      return 'bare';
    const part =
      this.number(at).value < 1 &&
      // A base at the height of the eye.
      !(this.number(at).value === 0 && this.has('base')) &&
      !this.has('defect', 'rot', 'log', 'dbh', 'factor', 'radius', 'pace', 'fix');
    return part || (next?.unknown === true && !next.capital) ? 'other' : undefined;
  }

  /** What the nearest word says that it may be of. */
  private cued(at: number): Label | undefined {
    let best: Label | undefined;
    let least = 7;
    for (const cue of cues) {
      if (!this.mayBe(cue, at)) continue;
      for (const concept of cue.concepts) {
        const away = Math.min(
          cue.side === 'before' || (isSight(cue) && this.isLed(at)) ? 9 : this.cueAway(at, 1, concept),
          cue.side === 'behind' ? 9 : this.cueAway(at, -1, concept),
        );
        if (away >= least) continue;
        least = away;
        best = cue.label;
      }
    }
    return best;
  }

  private mayBe({ label, concepts, units, beside }: Cue, at: number): boolean {
    const { unit, sign, value } = this.number(at);
    const measured = unit ?? (value < 1 && units.includes('part') ? 'part' : 'none');
    if (!units.includes(measured) || (beside !== undefined && !this.has(beside))) return false;
    const alone = unit === undefined && sign === undefined && this.numbers.length < 2;
    switch (label) {
      case 'top':
      case 'base':
        return !alone;
      case 'height':
        // Beside angles or paces a length is how far they were taken.
        return unit === undefined || concepts.includes('estimate') || !this.isSighted();
      case 'plot':
        return sign === undefined && !this.isNth(at);
      case 'girth': {
        // "Sitka 30 girth 96": the word stands before its number.
        const word = this.beside(at, 1);
        const next = this.pieces[word]?.concepts.has('girth') === true ? this.beside(word, 1) : -1;
        return this.pieces[next]?.is !== 'number' || this.pieces[at - 1]?.is !== 'species';
      }
      case 'pole':
        // "Two of my ladder": that many.
        return unit !== undefined || this.pieces[at + 1]?.text !== 'of';
      case 'count':
        return this.isBesideCount(at, concepts);
      case 'tree':
        // "Other stem is nine" is no number of a tree.
        return isNumberWord.test(this.pieces[at - 1]?.text ?? '');
      default:
        return true;
    }
  }

  /** "Top 105 bottom plus 6": the word behind a number leads to the next where another stands before it. */
  private isLed(at: number): boolean {
    const ends = (to: number): boolean => {
      const { is, concepts } = this.pieces[to] ?? { is: 'break' };
      return is !== 'words' || concepts?.has('top') === true || concepts?.has('base') === true;
    };
    const isEnd = (to: number): boolean => this.pieces[to]?.is === 'words';
    let before = at - 1;
    while (!ends(before)) before--;
    let behind = at + 1;
    while (!ends(behind)) behind++;
    if (!isEnd(before) || !isEnd(behind)) return false;
    let next = behind + 1;
    while (!ends(next)) next++;
    return this.pieces[next]?.is === 'number';
  }

  /** "Clino from 50, 78 and minus 10": how far off, where something is sighted. */
  private isFrom(at: number): boolean {
    const text = (to: number): string => this.pieces[to]?.text ?? '';
    const led = distanceBefore.test(text(at - 1)) && !sights.test(text(at - 2));
    if (!led && !distanceBehind.test(text(at + 1))) return false;
    const angled = this.numbers.some((to) => /^(?:deg|pct)$/.test(this.number(to).unit ?? ''));
    return (
      !this.asked &&
      this.number(at).value >= 5 &&
      !this.has('shadow', 'pole', 'log', 'plot', 'fix', 'no', 'scratch', 'ask') &&
      (angled || this.has('angle', 'top', 'base', 'stick', 'tape', 'meets', 'covers'))
    );
  }

  /** "Three times", "seven of them": the word for it stands right beside the number. */
  private isBesideCount(at: number, concepts: readonly Concept[]): boolean {
    // "Two of my ladder": so many poles.
    if (concepts.includes('pole') && this.pieces[at + 1]?.text !== 'of') return false;
    return [this.beside(at, 1), this.beside(at, -1)].some((to) =>
      concepts.some((concept) => this.pieces[to]?.concepts.has(concept) === true),
    );
  }

  /** "The first point, five": its number was said. */
  private isNth(at: number): boolean {
    const plot = this.pieces.findLastIndex((piece, to) => to < at && piece.concepts.has('plot'));
    return this.pieces[plot - 1]?.is === 'ordinal';
  }

  private isSighted(): boolean {
    return this.numbers.some((at) => /^(?:deg|pct|paces|steps)$/.test(this.number(at).unit ?? ''));
  }

  /** How far a word of a concept stands from a number, in pieces that are not light; nothing may part them. */
  private cueAway(at: number, step: 1 | -1, concept: Concept): number {
    let away = step === 1 ? 1 : 1.5;
    for (let to = at + step; away < 5; to += step) {
      const piece = this.pieces[to];
      if (piece === undefined || (piece.is === 'break' && piece.text !== ':') || piece.is === 'number')
        return 9;
      if (piece.concepts.has(concept)) return away;
      away += piece.light && piece.concepts.size === 0 ? 0.3 : 1;
    }
    return 9;
  }
}

/** A number as a diameter: inches and centimetres are units of one, another unit is none. */
export const plainDiameter = ({
  value,
  unit,
}: Pick<Quantity, 'value' | 'unit'>): { value: number; unit?: 'in' | 'cm' } => ({
  value,
  ...(unit === 'in' || unit === 'cm' ? { unit } : {}),
});

/** A length as the note has it. */
export function plainLength({ value, unit }: Quantity): {
  value: number;
  unit?: 'ft' | 'm' | 'cm' | 'in' | 'chain' | 'yd';
} {
  return unit === 'ft' || unit === 'm' || unit === 'cm' || unit === 'in' || unit === 'chain' || unit === 'yd'
    ? { value, unit }
    : { value };
}

/** Places, and all pieces beside numbers and names that speak of one of the concepts. */
/** Every place, for what is told by all that was said. */
export const everyPlace = (scan: Scan): Set<number> => new Set(scan.pieces.keys());

/** Where each clause begins and ends (exclusive), without empty ones. `parts`: what stands between two. */
export function clausesOf(
  pieces: readonly SaidPiece[],
  parts: (piece: SaidPiece) => boolean = ({ is }) => is === 'break',
): (readonly [from: number, to: number])[] {
  const ends = [...pieces.keys()].filter((at) => parts(pieces[at]!));
  return [...ends, pieces.length]
    .map((end, nth) => [nth === 0 ? 0 : ends[nth - 1]! + 1, end] as const)
    .filter(([from, to]) => to > from);
}

export function explain(scan: Scan, places: readonly number[], concepts: readonly Concept[]): Set<number> {
  const all = new Set(places);
  scan.pieces.forEach((piece, at) => {
    if (
      piece.is !== 'number' &&
      piece.is !== 'species' &&
      concepts.some((concept) => piece.concepts.has(concept))
    )
      all.add(at);
  });
  return all;
}

/** "That big one": another tree may be meant than the one in hand. */
export const isDescribed = (scan: Scan): boolean =>
  /\b(?:big|bigger|biggest|large|little|small|smaller|wee|tall|taller|fat|thin|thick|old|young|other|first|second|third|middle) (?:one|fellow|guy|tree|trees|stem|of)\b/.test(
    scan.text(),
  );

/** "Five eight" of an eye is feet and inches. */
export function eyeLength(said: Quantity): ReturnType<typeof plainLength> {
  const { pair, unit } = said;
  return pair !== undefined && unit === undefined && pair[0] < 8
    ? { value: pair[0] + pair[1] / 12, unit: 'ft' }
    : plainLength(said);
}
