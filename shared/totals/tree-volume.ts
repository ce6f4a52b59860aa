/**
 * Board feet of a standing tree from its diameter, its sixteen-foot logs and its Girard form class. Two ways: the
 * regressions through the form-class tables, where those tables reach, and log by log elsewhere.
 */
import { type LogRule, type LogRuleRow, logBoardFeet, logRules } from '../note/log-rules.ts';

/** Girard form class when none was said, percent: the class of the tables that are used most (common practice). */
export const usualFormClass = 78;

const rowOf = (rule: LogRule): LogRuleRow => logRules[rule];

/** Diameters (inches) and logs that the tables behind the regressions span (Mesavage & Girard 1946, seen: 10 to 40 in, 1 to 6 logs). */
const tableRange = { leastIn: 10, mostIn: 40, leastLogs: 1, mostLogs: 6 } as const;

/**
 * Board feet by the regressions through the form-class 78 tables, 3 percent more or less for each point of form class.
 * Meant for 10 to 40 inches and 1 to 6 logs (`tableRange`); below 12 inches and 3 logs and more it reads high.
 * Throws for a rule without a regression. Source: Wiant 1986, North. J. Appl. For. 3:124, as seen on a university teaching page.
 * Example: `regressionBoardFeet('international', 24, 2.5, 78)` is 519.665.
 */
export function regressionBoardFeet(rule: LogRule, dbhIn: number, logs: number, formClass: number): number {
  const c = rowOf(rule).regression;
  if (c === null) throw new RangeError(`no regression is known for ${rule}`);
  const a = (c[2] * logs + c[1]) * logs + c[0];
  const b = (c[5] * logs + c[4]) * logs + c[3];
  const e = (c[8] * logs + c[7]) * logs + c[6];
  return Math.max(0, ((e * dbhIn + b) * dbhIn + a) * (1 + (formClass - 78) * 0.03));
}

/** Taper of the logs above the first, inches in sixteen feet: the taper that the International rule itself assumes. */
const upperLogTaperIn = 2;

/**
 * Board feet log by log: the form class gives the diameter inside bark at the top of the first log, each further log is
 * `upperLogTaperIn` thinner, a part log in proportion. A tree with half a log is cut at half its first log.
 * Source: Girard form class by its definition (seen); taper half an inch in four feet as in the International rule (seen).
 */
export function logByLogBoardFeet(rule: LogRule, dbhIn: number, logs: number, formClass: number): number {
  const first = (dbhIn * formClass) / 100;
  // Where the taper comes to nothing no log is left, however many were said.
  const whole = Math.min(Math.floor(logs), Math.ceil(first / upperLogTaperIn));
  let feet = 0;
  for (let i = 0; i < whole; i++) feet += logBoardFeet(rule, first - upperLogTaperIn * i, 16);
  const part = logs - Math.floor(logs);
  if (part > 0) feet += logBoardFeet(rule, first - upperLogTaperIn * (logs - 1), 16 * part);
  return feet;
}

/** True where the regressions speak; elsewhere the tree is computed log by log. */
export const inTableRange = (dbhIn: number, logs: number): boolean =>
  dbhIn >= tableRange.leastIn &&
  dbhIn <= tableRange.mostIn &&
  logs >= tableRange.leastLogs &&
  logs <= tableRange.mostLogs;

/**
 * Gross board feet of a standing tree. `dbhIn` > 0, `logs` >= 0 in sixteen-foot logs, `formClass` in percent (50 to 100
 * is usual). By the regressions inside `tableRange`, else log by log.
 * Example: `treeBoardFeet('doyle', 24, 2.5)` is 428.942.
 */
export function treeBoardFeet(
  rule: LogRule,
  dbhIn: number,
  logs: number,
  formClass = usualFormClass,
): number {
  if (logs <= 0) return 0;
  return rowOf(rule).regression !== null && inTableRange(dbhIn, logs)
    ? regressionBoardFeet(rule, dbhIn, logs, formClass)
    : logByLogBoardFeet(rule, dbhIn, logs, formClass);
}

/**
 * Sixteen-foot logs in a merchantable height measured from the ground, down to the half log: a foot of stump, and three
 * tenths of a foot of trim a log (17.3 ft to the top of the first log: an encyclopaedia's article on the form class, seen).
 * Example: `logsOfMerchantable(34) === 2`.
 */
export function logsOfMerchantable(feet: number): number {
  return Math.max(0, Math.floor(((feet - 1) / 16.3) * 2 + 1e-9) / 2);
}

/** Where a tree's board feet come from, for the answer to "why". */
export function treeVolumeSources(rule: LogRule): readonly string[] {
  const { regression, source } = rowOf(rule);
  const logByLog = `log by log from the Girard form class, ${upperLogTaperIn} in of taper a log; ${source}`;
  if (regression === null) return [logByLog];
  return [
    'Wiant 1986 regressions of the form-class tables (10 to 40 in, 1 to 6 logs), 3 percent a point of form class',
    `outside them ${logByLog}`,
  ];
}
