/** What totals are made from. Inches, feet, acres, square feet, board feet, cubic feet, pounds. */
import type { PlotSize, Status } from '../note.ts';

export interface TreeRecord {
  readonly id: string;
  /** Number in the book, from 1. */
  readonly number: number;
  readonly plot: string | null;
  readonly stand: string | null;
  readonly species: number | null;
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
  /** Milliseconds since 1970. */
  readonly time: number;
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
  readonly empty: boolean;
  readonly time: number;
  readonly person: string | null;
}

export interface StandRecord {
  readonly id: string;
  readonly name: string;
  readonly acres: number | null;
}
