/**
 * Board feet of one log by rule: Doyle, International 1/4-inch, Scribner. A log is its small-end diameter inside bark
 * (inches) and its length (feet); a log too thin for a rule holds 0, never less.
 */
import { keysOf } from '../core/tables.ts';

/**
 * Doyle rule, board feet, not rounded: (D - 4)^2 L / 16; 0 up to 4 inches.
 * Source: Cassens, D., Log and Tree Scaling Techniques, Purdue FNR-191 (seen). Printed tables lie within 1 board foot.
 * Example: `doyleLog(16, 16) === 144`.
 */
export function doyleLog(smallEndIn: number, lengthFt: number): number {
  const slab = smallEndIn - 4;
  return slab > 0 && lengthFt > 0 ? (slab * slab * lengthFt) / 16 : 0;
}

/**
 * Share of the International 1/8-inch rule that a 1/4-inch kerf leaves: 0.905 in public-domain tables (seen); statutes print
 * 0.904762 (Michigan Act 208 of 1941, MCL 290.401; Massachusetts General Laws c. 96 s. 11A), 0.03 percent less.
 */
const quarterInch = 0.905;

/** International 1/8-inch rule for one four-foot section (the same statutes). */
const section = (d: number): number => (d > 0 ? Math.max(0, 0.22 * d * d - 0.71 * d) : 0);

/**
 * International 1/4-inch rule, board feet, not rounded: the four-foot sections from the small end down, the diameter
 * growing half an inch each; a part section counts by its length (common practice, no source).
 * Source: the statutes named above; 47 printed cells, part sections among them, agree (`tests/totals/sources.test.ts`).
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
 * Scribner rule in its regression form, board feet: (0.79 D^2 - 2 D - 4) L / 16. The rule proper is a table drawn from
 * diagrams; this follows it closely but is not it (30 in, 16 ft: 647 against 657, by the scaling factors of the Forest Service).
 * Source: after Bruce & Schumacher 1950, as seen on a university teaching page (Larsen, University of Missouri); meant there
 * for 12 to 44 inches and 10 to 24 feet.
 */
export function scribnerFormulaLog(smallEndIn: number, lengthFt: number): number {
  return smallEndIn > 0 ? Math.max(0, ((0.79 * smallEndIn - 2) * smallEndIn - 4) * (lengthFt / 16)) : 0;
}

/**
 * Nine numbers of a regression through the form-class 78 tables: V = sum over k of (c0 + c1 L + c2 L^2) D^k; in order
 * D^0, D^1, D^2 by L^0, L^1, L^2 (Wiant 1986).
 */
type FormClassRegression = readonly [number, number, number, number, number, number, number, number, number];

export interface LogRuleRow {
  /** As replies, reports and screens name it. */
  readonly name: string;
  /** Board feet of one log, not rounded, from its small end (inches inside bark) and its length (feet). */
  readonly log: (smallEndIn: number, lengthFt: number) => number;
  /** Standing trees by diameter and logs; null where no regression is known: every tree is then computed log by log. */
  readonly regression: FormClassRegression | null;
  /** Where the log formula comes from, for the answer to "why". */
  readonly source: string;
}

/**
 * Every log rule. The notes' schema, the words of replies, the sums of the totals and the columns of tables follow from
 * this; the first is used where a book has set none.
 *
 * Regressions seen second-hand on a university teaching page (Larsen, D.R., School of Natural Resources, Univ. of Missouri,
 * "Mesavage and Girard tree volume equations"), whose worked answer 484.581 settles Scribner's 3.02888 against the 3.02988
 * in its text.
 */
export const logRules = {
  international: {
    name: 'International quarter-inch',
    log: internationalLog,
    regression: [-13.35212, 9.58615, 1.52968, 1.7962, -2.59995, -0.27465, 0.04482, 0.45997, -0.00961],
    source: 'International 1/4-inch rule by four-foot sections (Michigan Act 208 of 1941)',
  },
  scribner: {
    name: 'Scribner',
    log: scribnerFormulaLog,
    regression: [-22.50365, 17.53508, -0.59242, 3.02888, -4.34381, -0.02302, -0.01969, 0.51593, -0.02035],
    source:
      'Scribner rule, regression form, not the diagram table (Bruce & Schumacher 1950, as seen on a university teaching page)',
  },
  doyle: {
    name: 'Doyle',
    log: doyleLog,
    regression: [-29.37337, 41.51275, 0.55743, 2.78043, -8.77272, -0.04516, 0.04177, 0.59042, -0.01578],
    source: 'Doyle rule, (D - 4)^2 L / 16 (Cassens, Purdue FNR-191)',
  },
} as const satisfies Record<string, LogRuleRow>;

export type LogRule = keyof typeof logRules;
export const logRuleKeys = keysOf(logRules);
/** The rule of a book that has set none. */
export const usualLogRule: LogRule = 'international';

/** One value for each rule. Example: `byLogRule((rule) => totals.volume(rule).value)`. */
export function byLogRule<T>(value: (rule: LogRule) => T): Record<LogRule, T> {
  const made: Partial<Record<LogRule, T>> = {};
  for (const rule of logRuleKeys) made[rule] = value(rule);
  return made as Record<LogRule, T>;
}

/**
 * Board feet of one log by the rule's formula, not rounded; what sums over many logs are made from.
 * Example: `logBoardFeet('doyle', 12, 16) === 64`.
 */
export const logBoardFeet = (rule: LogRule, smallEndIn: number, lengthFt: number): number =>
  logRules[rule].log(smallEndIn, lengthFt);
