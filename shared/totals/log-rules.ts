/**
 * Board feet of one log by rule: Doyle, International 1/4-inch, Scribner. A log is its small-end diameter inside bark
 * (inches) and its length (feet); a log too thin for a rule holds 0, never less.
 */
import type { LogRule } from '../note/note.ts';

/**
 * Doyle rule, board feet, not rounded: (D - 4)^2 L / 16; 0 up to 4 inches.
 * Source: Cassens, D., Log and Tree Scaling Techniques, Purdue FNR-191 (seen). Printed tables lie within 1 board foot.
 * Example: `doyleLog(16, 16) === 144`.
 */
export function doyleLog(smallEndIn: number, lengthFt: number): number {
  const slab = smallEndIn - 4;
  return slab > 0 && lengthFt > 0 ? (slab * slab * lengthFt) / 16 : 0;
}

/** Share of the International 1/8-inch rule that a 1/4-inch kerf leaves. From memory: Clark 1906; Freese 1973. */
const quarterInch = 0.905;

/** International 1/8-inch rule for one four-foot section. From memory: Clark 1906. */
const section = (d: number): number => Math.max(0, 0.22 * d * d - 0.71 * d);

/**
 * International 1/4-inch rule, board feet, not rounded: the four-foot sections from the small end down, the diameter
 * growing half an inch each; a part section counts by its length (common practice, no source).
 * Source: half an inch in four feet: seen; constants from memory: Clark 1906; Freese 1973, GTR FPL-1.
 * Example: `internationalLog(16, 16)` is 180.64.
 */
export function internationalLog(smallEndIn: number, lengthFt: number): number {
  if (lengthFt === 16 && smallEndIn >= 4) {
    return quarterInch * ((0.88 * smallEndIn - 1.52) * smallEndIn - 1.36);
  }
  let feet = 0;
  let d = smallEndIn;
  let left = lengthFt;
  while (left > 0) {
    feet += section(d) * Math.min(1, left / 4);
    left -= 4;
    d += 0.5;
  }
  return quarterInch * feet;
}

/**
 * International 1/4-inch rule as tables print it: to the nearest 5 board feet.
 * One cell of the table as remembered differs: 15 in, 16 ft is 160 there and 155 here (157.3 before rounding).
 */
export const internationalScale = (smallEndIn: number, lengthFt: number): number =>
  5 * Math.round(internationalLog(smallEndIn, lengthFt) / 5);

/**
 * Scribner rule in its regression form, board feet: (0.79 D^2 - 2 D - 4) L / 16. The rule proper is a table drawn from
 * diagrams; this follows it closely but is not it (30 in, 16 ft: 647 against 657).
 * Source: from memory: Bruce & Schumacher 1950.
 */
export function scribnerFormulaLog(smallEndIn: number, lengthFt: number): number {
  return Math.max(0, ((0.79 * smallEndIn - 2) * smallEndIn - 4) * (lengthFt / 16));
}

/** Scribner diagram table, 16-foot logs, board feet by inch. From memory: Freese 1973, GTR FPL-1. */
const diagram16: ReadonlyMap<number, number> = new Map([
  [12, 79],
  [14, 114],
  [16, 159],
  [18, 213],
  [20, 280],
  [24, 404],
  [30, 657],
]);

/** Scribner Decimal C, tens of board feet: [inch, tens] by length. 30 in x 16 ft, 6 in x 8 ft, 10 in x 8 to 12 ft seen. */
const decimalC: ReadonlyMap<number, ReadonlyMap<number, number>> = new Map([
  [
    16,
    new Map([
      ...[2, 3, 3, 4, 6, 7, 8, 10, 11, 14, 16, 18, 21, 24, 28, 30].map((v, i): [number, number] => [
        6 + i,
        v,
      ]),
      ...[33, 38, 40, 46, 50, 55, 58, 61, 66, 71, 74, 78, 80, 88, 92].map((v, i): [number, number] => [
        22 + i,
        v,
      ]),
      [40, 120],
    ]),
  ],
  [
    8,
    new Map([
      [6, 0.5],
      [10, 3],
    ]),
  ],
  [9, new Map([[10, 3]])],
  [10, new Map([[10, 3]])],
  [11, new Map([[10, 3]])],
  [
    12,
    new Map([
      [10, 3],
      [12, 6],
      [14, 9],
      [16, 12],
      [18, 16],
      [20, 21],
      [24, 30],
      [30, 49],
    ]),
  ],
]);

/** Diameters are scaled to the whole inch below the half: 12.4 is 12, 12.5 is 13 (common practice, no source). */
const scalingInch = (smallEndIn: number): number => Math.floor(smallEndIn + 0.5);

/**
 * Scribner Decimal C, in board feet (tens of board feet times 10); null where the table is not known here.
 * Source: cells for 30 in x 16 ft and 6 in x 8 ft: Bailey, Farm and Garden Rule-Book 1911 (seen); 10 in, 8 to 12 ft
 * seen; all others from memory: USDA Forest Service FSH 2409.11.
 * Example: `scribnerDecimalC(30, 16) === 660`.
 */
export function scribnerDecimalC(smallEndIn: number, lengthFt: number): number | null {
  const tens = decimalC.get(lengthFt)?.get(scalingInch(smallEndIn));
  return tens === undefined ? null : tens * 10;
}

/** Scribner diagram table, board feet; null where the cell is not known here. From memory: Freese 1973. */
export function scribnerDiagram(smallEndIn: number, lengthFt: number): number | null {
  return lengthFt === 16 ? (diagram16.get(scalingInch(smallEndIn)) ?? null) : null;
}

/**
 * Board feet of one log by the rule's formula, not rounded; what sums over many logs are made from.
 * Example: `logBoardFeet('doyle', 12, 16) === 64`.
 */
export function logBoardFeet(rule: LogRule, smallEndIn: number, lengthFt: number): number {
  if (rule === 'doyle') return doyleLog(smallEndIn, lengthFt);
  if (rule === 'international') return internationalLog(smallEndIn, lengthFt);
  return scribnerFormulaLog(smallEndIn, lengthFt);
}

/** Where each rule's log formula comes from, for the answer to "why". */
export const logRuleSources: Readonly<Record<LogRule, string>> = {
  doyle: 'Doyle rule, (D - 4)^2 L / 16 (Cassens, Purdue FNR-191)',
  international:
    'International 1/4-inch rule by four-foot sections (constants from memory: Clark 1906, Freese 1973 GTR FPL-1)',
  scribner: 'Scribner rule, regression form, not the diagram table (from memory: Bruce & Schumacher 1950)',
};
