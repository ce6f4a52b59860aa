/** What a report is made of: sections with lines, tables and drawings; see `report.ts`. */
import type { Drawing } from '../charts/drawing.ts';

export interface Section {
  readonly heading: string;
  readonly lines?: readonly string[];
  readonly table?: ReportTable;
  readonly drawings?: readonly Drawing[];
  /** Said under the table. */
  readonly notes?: readonly string[];
}

/** Rows of cells under heads. A row of which `sums` is true adds up those above it. */
export interface ReportTable {
  readonly head: readonly string[];
  /** Can be gone through more than once. A long table makes its rows as they are asked for, so that none is held. */
  readonly rows: Iterable<readonly string[]>;
  /** By column: whether it holds numbers, which stand flush right. Missing: as its cells look. */
  readonly numeric?: readonly boolean[];
  readonly sums?: (row: number) => boolean;
  /** Too many columns for a phone: there each row becomes a block of its own. */
  readonly wide?: boolean;
}

export interface Report {
  readonly title: string;
  /** What the title page says of it: when, by whom, where. */
  readonly facts: readonly string[];
  readonly sections: readonly Section[];
}
