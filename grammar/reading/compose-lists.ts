/**
 * Several trees told together: names in a row and their sizes behind them, what is said of each of them, how many are
 * coming, and what a clause leaves out since the one before has it.
 */
import type { Measurement, Note, TreeFacts } from '../../shared/note/note.ts';
import { factsOf } from './compose-facts.ts';
import { heightOf } from './compose-heights.ts';
import type { SaidPiece } from './pieces.ts';
import type { Quantity } from './said-numbers.ts';
import { clausesOf, type Draft, everyPlace, explain, type Scan } from './scan.ts';

/** "Medlar and quince, four inches and five": as many sizes as names, in their order. */
export function rowDraft(scan: Scan): Draft | undefined {
  const { species, numbers } = scan;
  if (scan.asked || species.length < 2 || numbers.length !== species.length) return undefined;
  if (numbers.some((at) => scan.text(at + 1).startsWith('of each'))) return undefined;
  if (scan.has('not', 'no', 'fix', 'scratch', 'restore', 'ask', 'plot', 'person')) return undefined;
  if (numbers[0]! < species.at(-1)! || species.some((at) => scan.pieces[at]!.many === true)) return undefined;
  const said = numbers.map((at) => scan.number(at));
  if (numbers.some((at) => !/^(?:bare|diameter)$/.test(scan.label(at)))) return undefined;
  const unit = said.map((one) => one.unit).find((one) => one !== undefined);
  if (unit !== undefined && unit !== 'in' && unit !== 'cm') return undefined;
  const trees = species.map(
    (at, index): Note => ({
      kind: 'tree',
      facts: {
        species: scan.name(at),
        diameter: { value: said[index]!.value, ...(unit === undefined ? {} : { unit }) },
      },
    }),
  );
  const [first, ...others] = trees;
  if (first === undefined) return undefined;
  return {
    notes: [first, ...others],
    used: explain(scan, [...species, ...numbers], ['dbh', 'each', 'next', 'tree', 'here', 'guess']),
    against: 0,
  };
}

/** What is told of each of the trees of a breath: "both eighty feet tall", "one log apiece", "all dead". */
export interface OfEach {
  readonly facts?: TreeFacts;
  readonly height?: Note;
  readonly used: ReadonlySet<number>;
  readonly sure: boolean;
}

/** "Neither one a log", "no logs in them", "not a log in either", where nothing else is told. */
const noneHas =
  /^(?:(?:and|but) )?(?:(?:neither|none)(?: (?:one|tree|of (?:them|those|these|the two)))?(?: (?:'s|is|has|have|had|makes?|made|worth|good for|got|with))*(?: (?:an?|any|one))? (?:saw ?)?logs?(?: in (?:it|them))?|(?:no|not an?|not one|not any) (?:saw ?)?logs? (?:in|on|from|out of) (?:either(?: one)?(?: of (?:them|those))?|them|any of (?:them|those)|both(?: of them)?|those|these|the two))$/;

/** A clause of it tells that none of several trees has a log: that is told of no tree alone. */
export const tellsOfNone = (scan: Scan): boolean =>
  clausesOf(scan.pieces).some(([from, to]) => noneHas.test(scan.text(from, to)));

export function ofEach(scan: Scan): OfEach | undefined {
  if (!scan.asked && noneHas.test(scan.text()))
    return { facts: { logs: 0 }, used: everyPlace(scan), sure: true };
  if (scan.asked || !scan.has('each') || scan.species.length > 0) return undefined;
  if (scan.has('not', 'no', 'fix', 'scratch', 'restore', 'ask', 'plot', 'person')) return undefined;
  const count = countOfEach(scan);
  if (count !== undefined) return { facts: { count }, used: everyPlace(scan), sure: true };
  const bare = lengthOnly(scan);
  const height = bare ?? heightOf(scan)?.height;
  const taken = new Set(bare === undefined ? (heightOf(scan)?.used ?? []) : scan.numbers);
  const found = factsOf(scan, taken);
  if ((found === undefined && height === undefined) || (found?.more.length ?? 0) > 0) return undefined;
  const used = [...taken, ...(found?.used ?? [])];
  if (scan.numbers.some((at) => !used.includes(at))) return undefined;
  return {
    ...(found === undefined ? {} : { facts: found.facts }),
    ...(height === undefined ? {} : { height: { kind: 'height', height } }),
    used: explain(scan, used, [
      'each',
      'tall',
      'has',
      'guess',
      'that',
      'one',
      'tree',
      ...(found?.concepts ?? []),
    ]),
    sure: found?.unsure !== true,
  };
}

/** "Two of each", behind the trees. */
function countOfEach(scan: Scan): number | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0) return undefined;
  const { value, unit, sign } = scan.number(at);
  const whole =
    unit === undefined && sign === undefined && Number.isInteger(value) && value > 1 && value < 100;
  const behind = scan.text(at + 1);
  return whole && /^of each(?: of (?:those|these|them)|(?: one| kind| tree| size))?$/.test(behind)
    ? value
    : undefined;
}

/** "Both eighty feet": a length of trees that stand is their height. */
function lengthOnly(scan: Scan): Measurement | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || scan.label(at) !== 'distance') return undefined;
  const { value, unit } = scan.number(at);
  if ((unit !== 'ft' && unit !== 'm') || value < 5) return undefined;
  if (scan.has('stick', 'tape', 'walk', 'covers', 'meets', 'shadow', 'pole', 'off')) return undefined;
  return { method: 'reading', takes: [{ value, unit }] };
}

/** Notes with what is told of each of their trees. */
export function withEach(notes: readonly Note[], { facts, height }: OfEach): readonly Note[] {
  return notes.flatMap((note): Note[] => {
    if (note.kind !== 'tree') return [note];
    const told: Note = facts === undefined ? note : { ...note, facts: { ...facts, ...note.facts } };
    return height === undefined ? [told] : [told, height];
  });
}

/** "Two more trees", "three of them", before the trees: how many follow; undefined where that is not all it says. */
export function announced(scan: Scan): number | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || scan.species.length > 0 || scan.asked) return undefined;
  const { value, unit, sign } = scan.number(at);
  if (unit !== undefined || sign !== undefined || !Number.isInteger(value) || value < 2) return undefined;
  const plain = scan.pieces.every(
    ({ is, light, text, concepts }, to) =>
      to === at ||
      is === 'break' ||
      light ||
      /^(?:more|trees|stems|ones|others)$/.test(text) ||
      concepts.has('here') ||
      concepts.has('next'),
  );
  return plain && scan.pieces.some(({ text }) => /^(?:trees|stems|ones|others)$/.test(text))
    ? value
    : undefined;
}

/** "Spruce 31, 29 and a dead one 24": one more of the kind before it, so that only it is dead. */
export function withOneMore(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  const all = [...pieces];
  for (const [from, to] of clausesOf(pieces)) {
    const clause = pieces.slice(from, to);
    const one = clause.findIndex(({ text, concepts }) => text === 'one' && concepts.has('one'));
    const isSized = one > 0 && clause.findIndex(({ is }) => is === 'number') > one;
    const isNew = clause.slice(0, Math.max(0, one)).some(({ text }) => /^(?:an?|another)$/.test(text));
    if (!isSized || !isNew || clause.some(({ is }) => is === 'species')) continue;
    const kind = pieces.slice(0, from).findLast(({ is }) => is === 'species');
    if (kind === undefined) continue;
    const { many: _, ...single } = kind;
    all[from + one] = single;
  }
  return all;
}

/** A clause that ends in what a number is to be of, and has none. */
const isNaming = (clause: readonly SaidPiece[]): boolean =>
  !clause.some(({ is }) => is === 'number') &&
  (clause.some(({ concepts }) => concepts.has('dbh') || concepts.has('girth')) ||
    clause.at(-1)?.concepts.has('tall') === true);

/** "First one's four logs, second one three": what a number is of stands in the clause before. */
export function withLeftOut(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  const all = [...pieces];
  let before: Quantity['unit'];
  let walked = false;
  let naming = false;
  for (const [from, to] of clausesOf(pieces)) {
    const numbers = Array.from({ length: to - from }, (_, i) => from + i).filter(
      (at) => all[at]!.is === 'number',
    );
    const clause = all.slice(from, to);
    const nth = clause[0]!.is === 'ordinal' || (clause[0]!.light && clause[1]?.is === 'ordinal');
    // "Its diameter, eleven": what the number is of stands in the clause before.
    if (naming && clause.length === 1 && clause[0]!.is === 'number')
      all[from - 1] = { ...all[from - 1]!, text: ':' };
    naming = isNaming(clause);
    const unit: Quantity['unit'] =
      nth && before !== undefined ? before : walked && clause.length === 1 ? 'paces' : undefined;
    const [at, ...others] = numbers;
    const only = at === undefined || others.length > 0 ? undefined : all[at]!;
    if (
      at !== undefined &&
      only?.number !== undefined &&
      only.number.unit === undefined &&
      unit !== undefined
    )
      all[at] = { ...only, text: `${only.text} ${unit}`, number: { ...only.number, unit } };
    before = nth ? only?.number?.unit : undefined;
    walked =
      numbers.length === 0 && clause.some(({ text }) => /^(?:paced|stepped|paced it|pacing)$/.test(text));
  }
  return all;
}
