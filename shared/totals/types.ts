/** What totals are made from. Inches, feet, acres, square feet, board feet, cubic feet, pounds. */
import type { Status } from '../note/note.ts';
import type { PlotSize } from '../note/quantities.ts';

/** What trees are told apart by: FIA code, else what they were called, else nothing. */
export type SpeciesKey = number | string | null;

export const speciesKey = (tree: Pick<TreeRecord, 'species' | 'called'>): SpeciesKey =>
  tree.species ?? tree.called ?? null;

/**
 * How many trees a record stands for in every sum: its count, or half of it on the border. Common practice where a gauge
 * cannot tell, no source.
 * Example: `treesIn({ count: 1, half: true }) === 0.5`.
 */
export const treesIn = ({ count, half }: Pick<TreeRecord, 'count' | 'half'>): number =>
  half === true ? count / 2 : count;

/** The mark of trees that were told to stand on the border of their plot. */
export const borderMark = 'borderline';

export interface TreeRecord {
  readonly id: string;
  /** Number in the book, from 1. */
  readonly number: number;
  readonly plot: string | null;
  readonly stand: string | null;
  readonly species: number | null;
  /** What it was called where its species is not known: a genus ("birch"), a group ("hardwood"), "unknown". */
  readonly called?: string | null;
  readonly diameterIn: number | null;
  readonly status: Status;
  readonly marks: readonly string[];
  readonly count: number;
  /** Sixteen-foot logs. */
  readonly logs: number | null;
  readonly merchFt: number | null;
  readonly defectPct: number;
  readonly formClass: number | null;
  /** Measured height and its error; null when none was measured (the curve then fills it, counted as filled). */
  readonly heightFt: number | null;
  readonly heightSdFt: number | null;
  /** False for a borderline tree found out. */
  readonly counted: boolean;
  /** True for a tree on the border that counts as half a tree. */
  readonly half?: boolean | undefined;
  /** Milliseconds since 1970, by the clock of the device on which it was begun. */
  readonly time: number;
  /** Minutes by which that clock was ahead of universal time; none where missing. */
  readonly zone?: number | undefined;
  readonly person: string | null;
}

export interface PlotRecord {
  readonly id: string;
  readonly number: number;
  readonly stand: string | null;
  readonly stratum: string | null;
  readonly size: PlotSize | null;
  readonly slopePct: number | null;
  readonly closed: boolean;
  /** True when it was closed more than once, as two people may. */
  readonly closedTwice?: boolean;
  readonly empty: boolean;
  /** As in a tree. */
  readonly time: number;
  readonly zone?: number | undefined;
  readonly person: string | null;
}

export interface StandRecord {
  readonly id: string;
  readonly name: string;
  readonly acres: number | null;
  /** Standard deviation of an area that was measured; missing where it was only said. */
  readonly sdAcres?: number;
  /** The part of it that is of paces, which areas walked by the same person share. */
  readonly paceSdAcres?: number;
}

export interface StratumRecord extends StandRecord {
  /** Id of the stand that it is a part of. */
  readonly stand: string | null;
}

/** What a total is narrowed to. Stands, strata and plots by id (a stratum also by name). */
export interface TotalsScope {
  /** FIA code; a name for trees that were only called so; null means trees whose species was not said. */
  readonly species?: SpeciesKey;
  readonly plot?: string;
  readonly stand?: string;
  readonly stratum?: string;
  /** Missing: live trees (for `trees`: all that stand). */
  readonly status?: Status | 'all';
  /** Day number by the clocks of those who measured, as `dayNumber` counts it. Values per acre take the plots begun that day, counts and means its trees. */
  readonly day?: number;
  readonly person?: string;
  /** Only plots that take their trees so. */
  readonly design?: 'fixed' | 'factor';
}

/** An answer with its error. `value` is null when there is nothing to compute it from, and `leftOut` says why. */
export interface Estimate {
  readonly value: number | null;
  readonly unit:
    | 'trees'
    | 'plots'
    | 'trees/acre'
    | 'ft2/acre'
    | 'ft2'
    | 'bf/acre'
    | 'bf'
    | 'ft3/acre'
    | 'ft3'
    | 'lb/acre'
    | 'lb'
    | 'ft'
    | 'in';
  /** Standard error; null while it cannot be known (one plot). 0 where everything was measured. */
  readonly se: number | null;
  readonly df: number;
  /** Confidence limits; null without an error. */
  readonly low: number | null;
  readonly high: number | null;
  readonly confidence: number;
  /** Half the interval in percent of the value. */
  readonly samplingErrorPct: number | null;
  /** Plots behind the value, empty ones counted. */
  readonly plots: number;
  /** Trees behind the value. */
  readonly trees: number;
  /** Trees among them whose height the curve filled. */
  readonly filled: number;
  /** Value by status, for what adds up. */
  readonly byStatus: Readonly<Record<Status, number>> | null;
  /** What is not in the value, and why there is none. */
  readonly leftOut: readonly string[];
  /** What was taken for granted: form class, pooled areas, filled heights. */
  readonly assumed: readonly string[];
  /** Tables and formulas, for "why". */
  readonly sources: readonly string[];
}

/** An estimate with its gaps filled in: nothing left out or assumed, no error, where the caller says none. */
export function estimateOf(
  confidence: number,
  of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>,
): Estimate {
  return {
    se: null,
    df: 0,
    low: null,
    high: null,
    samplingErrorPct: null,
    confidence,
    plots: 0,
    trees: 0,
    filled: 0,
    byStatus: null,
    leftOut: [],
    assumed: [],
    sources: [],
    ...of,
  };
}
