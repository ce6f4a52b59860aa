/** What stands behind the sums of the report: volume by species and stratum, what was left out, remarks, every tree. */

import type { Book } from '../../book/book.ts';
import { totalsOf } from '../../book/totals-of.ts';
import type { Tree } from '../../book/tree-records.ts';
import { clockOf } from '../../core/moment.ts';
import type { Units } from '../../core/units.ts';
import { momentOf } from '../../note/journal.ts';
import { type LogRule, logRules } from '../../note/log-rules.ts';
import { jenkinsEquations } from '../../totals/biomass.ts';
import { massGroupOf } from '../../totals/contribution.ts';
import type { TreeValues } from '../../totals/totals.ts';
import { type Estimate, type SpeciesKey, speciesKey, type TotalsScope } from '../../totals/types.ts';
import { shownAs } from '../../wording/display-units.ts';
import * as wording from '../../wording/wording.ts';
import { wayOf } from '../files/wood.ts';
import type { Section } from './sections.ts';
import { figures, metricOf, ruleOf, tenths } from './tables.ts';

/** Values of an acre of one part of the book, with one standard error each. */
function volumeRow(book: Book, name: string, scope: TotalsScope): string[] {
  const totals = totalsOf(book);
  const metric = metricOf(book);
  const cell = (estimate: Estimate): string => {
    if (estimate.value === null) return '';
    const { factor } = shownAs(estimate.unit, metric);
    const show = (value: number) => figures(value * factor);
    return `${show(estimate.value)}${estimate.se === null || estimate.se === 0 ? '' : ` ± ${show(estimate.se)}`}`;
  };
  return [
    name,
    figures(totals.trees({ ...scope, status: 'live' }).value ?? 0),
    cell(totals.basalArea(scope)),
    cell(totals.density(scope)),
    cell(known(totals.volumePerAcre(ruleOf(book), scope))),
    cell(totals.perAcre('cubic', scope)),
    cell(totals.perAcre('biomass', scope)),
  ];
}

/** Board feet of trees none of which had its logs said are not known, not nought. */
const known = (estimate: Estimate): Estimate =>
  estimate.trees === 0 && estimate.leftOut.length > 0 ? { ...estimate, value: null } : estimate;

function volumeTable(book: Book, first: string, rows: readonly string[][]): NonNullable<Section['table']> {
  const metric = metricOf(book);
  const short = (unit: Estimate['unit']): string => shownAs(unit, metric).short;
  return {
    head: [
      first,
      'live, told',
      short('ft2/acre'),
      short('trees/acre'),
      short('bf/acre'),
      short('ft3/acre'),
      short('lb/acre'),
    ],
    rows,
    wide: true,
  };
}

const volumeNotes = (rule: LogRule): string[] => [
  `With ± one standard error over plots. Board feet by ${logRules[rule].name}; cubic measure of whole stems; biomass above ground, oven-dry. What is left out of each is named below.`,
];

/** Volume and biomass by species, on plots; null where there is no value of an acre. */
export function volumeSection(book: Book): Section | null {
  const codes = [...new Set([...book.trees()].map(speciesKey))];
  const totals = totalsOf(book);
  if (totals.basalArea().value === null) return null;
  const rows = codes
    .map((species) => ({ species, value: totals.basalArea({ species }).value ?? 0 }))
    .sort((a, b) => b.value - a.value)
    .map(({ species }) => volumeRow(book, wording.speciesName(species), { species }));
  if (rows.length > 1) rows.push(volumeRow(book, 'All species', {}));
  return {
    heading: 'Volume by species',
    table: {
      ...volumeTable(book, 'species', rows),
      sums: (row) => rows.length > 1 && row === rows.length - 1,
    },
    notes: volumeNotes(ruleOf(book)),
  };
}

/** The same by stratum, and by stand where there are several; null where the book has neither. */
export function stratumSection(book: Book): Section | null {
  const { units } = book.settings.now;
  const area = (acres: number | null): string =>
    acres === null ? 'area not said' : wording.area(acres, units);
  const rows = [
    ...(book.stands.size > 1 ? [...book.stands.values()] : []).map(({ id, name, acres }) =>
      volumeRow(book, `${wording.placeName(name)}, ${area(acres)}`, { stand: id }),
    ),
    ...[...book.strata.values()].map(({ id, name, acres }) =>
      volumeRow(book, `stratum ${wording.placeName(name)}, ${area(acres)}`, { stratum: id }),
    ),
  ];
  if (rows.length === 0 || totalsOf(book).basalArea().value === null) return null;
  const strata = book.strata.size > 0;
  rows.push(volumeRow(book, 'In all', {}));
  return {
    heading: strata ? 'Volume by stratum' : 'Volume by stand',
    table: { ...volumeTable(book, '', rows), sums: (row) => row === rows.length - 1 },
    notes: volumeNotes(ruleOf(book)),
  };
}

/** A tree that is not in a value, and why. */
interface Lacking {
  readonly tree: Tree;
  readonly from: string;
  readonly why: string;
}

/** Trees that are told but not in a value, by name and why, and what that does to the totals. */
export function leftOutSection(book: Book): Section | null {
  const metric = metricOf(book);
  const rule = ruleOf(book);
  const totals = totalsOf(book);
  const lacking: Lacking[] = [];
  const shares = new Map<string, { lost: number; thick: boolean }>();
  let whole = 0;
  for (const tree of book.trees()) {
    if (!tree.counted) {
      lacking.push({ tree, from: 'everything', why: 'measured at the border and found out' });
      continue;
    }
    if (tree.status === 'dead') continue;
    const values = totals.valuesOf(tree, rule);
    const weight = tree.count * (values.basalAreaFt2 ?? 0) * (values.perAcre ?? 1);
    whole += weight;
    for (const { from, why } of reasonsOf(tree, values, metric)) {
      lacking.push({ tree, from, why });
      const own = shares.get(from) ?? { lost: 0, thick: false };
      shares.set(from, { lost: own.lost + weight, thick: own.thick || values.beyond === 'thick' });
    }
  }
  if (lacking.length === 0) return null;
  const inch = shownAs('in', metric);
  const rows = lacking.map(({ tree, from, why }) => [
    String(tree.number),
    book.plot(tree.plot)?.number.toString() ?? '',
    wording.speciesName(speciesKey(tree)),
    tree.diameterIn === null ? '' : tenths(tree.diameterIn * inch.factor),
    from,
    why,
  ]);
  const notes = [...shares].flatMap(([from, { lost, thick }]) => {
    if (!(whole > 0) || lost === 0) return [];
    return [
      `Trees that are not in ${from} hold ${figures((100 * lost) / whole)} percent of the live basal area; ${effectOf(from, thick)}.`,
    ];
  });
  return {
    heading: 'Left out',
    table: {
      head: ['tree', 'plot', 'species', `dbh, ${inch.short}`, 'is not in', 'because'],
      rows,
      wide: true,
    },
    notes,
  };
}

/** What it does to a total that such trees are not in it. */
function effectOf(from: string, thick: boolean): string {
  if (from === 'sawlogs') return 'the board feet are too low by what logs they have';
  if (from === 'biomass and carbon' && thick)
    return 'biomass and carbon are too low by at least that part, as the thickest hold most for their basal area';
  return `${from} are too low by about that part`;
}

function reasonsOf(tree: Tree, values: TreeValues, metric: boolean): Omit<Lacking, 'tree'>[] {
  if (tree.diameterIn === null)
    return [{ from: 'basal area, volume and biomass', why: 'no diameter was said' }];
  const found: Omit<Lacking, 'tree'>[] = [];
  if (values.boardFeet === null) found.push({ from: 'sawlogs', why: 'no logs were said' });
  if (values.cubicFt === null)
    found.push({ from: 'whole stems', why: 'no height was measured, and the curve knows no such tree' });
  if (values.pounds === null)
    found.push({ from: 'biomass and carbon', why: whyNoPounds(tree, values, metric) });
  return found;
}

function whyNoPounds(tree: Tree, { beyond }: TreeValues, metric: boolean): string {
  const group = massGroupOf(tree);
  if (beyond === null || group === undefined) return 'its species is in no group of the equations';
  if (beyond === 'thin')
    return `thinner than ${metric ? '2.5 centimetres' : '1 inch'}, where the equations begin`;
  const most = jenkinsEquations[group].mostCm;
  const text = metric ? `${most} centimetres` : `${tenths(most / 2.54)} inches`;
  return `thicker than ${text}, the thickest stem behind the equation of its group`;
}

/** What was remarked, with the tree and the plot it was said of. */
export function remarkSection(book: Book): Section | null {
  const rows = book.remarks.map(({ entry, text, tree, plot }) => {
    const said = book.entry(entry);
    const own = book.tree(tree);
    return [
      said === undefined ? '' : clockOf(momentOf(said)),
      own?.number.toString() ?? '',
      book.plot(own?.plot ?? plot)?.number.toString() ?? '',
      text,
    ];
  });
  return rows.length === 0
    ? null
    : { heading: 'Remarks', table: { head: ['at', 'tree', 'plot', 'remark'], rows } };
}

/** Every tree of the book, with what it comes to by itself. */
export function treeSection(book: Book): Section | null {
  const [first] = book.trees();
  if (first === undefined) return null;
  const metric = metricOf(book);
  const rule = ruleOf(book);
  const short = (unit: Estimate['unit']) => shownAs(unit, metric).short;
  const columns: readonly (readonly [head: string, numeric: boolean])[] = [
    ['tree', true],
    ['plot', true],
    ['species', false],
    [`dbh, ${short('in')}`, true],
    [`height, ${short('ft')}`, true],
    ['±', true],
    ['by', false],
    [short('trees/acre'), true],
    [short('ft2'), true],
    ['board feet', true],
    [short('ft3'), true],
    [massOf(metric).short, true],
    ['besides', false],
  ];
  return {
    heading: 'Every tree',
    table: {
      head: columns.map(([head]) => head),
      numeric: columns.map(([, numeric]) => numeric),
      rows: { [Symbol.iterator]: () => treeRows(book) },
      wide: true,
    },
    notes: [
      `± one standard deviation of the height as measured. ${wording.sentence(short('trees/acre'))}: how many one stem stands for. Basal area, board feet (${logRules[rule].name}, net of defect), whole stem and oven-dry mass above ground are of one stem. * by the height that the stand’s curve gives.`,
    ],
  };
}

/** Pounds, or kilograms: a tree is no matter of tons. */
const massOf = (metric: boolean) =>
  metric ? { factor: 0.45359237, short: 'kg' } : { factor: 1, short: 'lb' };

function* treeRows(book: Book): Generator<readonly string[]> {
  const metric = metricOf(book);
  const { units } = book.settings.now;
  const rule = ruleOf(book);
  const totals = totalsOf(book);
  const factor = (unit: Estimate['unit']) => shownAs(unit, metric).factor;
  const [inch, foot, stem, density] = [factor('in'), factor('ft'), factor('ft3'), factor('trees/acre')];
  const mass = massOf(metric).factor;
  const area = factor('ft2');
  const cell = (value: number | null, by: number, show: (value: number) => string): string =>
    value === null ? '' : show(value * by);
  const showArea = (value: number): string => value.toFixed(metric ? 4 : 3);
  const showStem = metric ? (value: number) => value.toFixed(3) : tenths;
  const speciesNames = new Map<SpeciesKey, string>();
  const nameOf = (species: SpeciesKey): string => {
    let name = speciesNames.get(species);
    if (name === undefined) {
      name = wording.speciesName(species);
      speciesNames.set(species, name);
    }
    return name;
  };
  for (const tree of book.trees()) {
    const values = totals.valuesOf(tree, rule);
    const methods = new Set(tree.heights.flatMap((id) => wayOf(book, id)));
    yield [
      String(tree.number),
      book.plot(tree.plot)?.number.toString() ?? '',
      nameOf(speciesKey(tree)),
      cell(tree.diameterIn, inch, tenths),
      cell(tree.heightFt, foot, tenths),
      cell(tree.heightSdFt, foot, tenths),
      [...methods].join(', '),
      cell(values.perAcre, density, tenths),
      cell(values.basalAreaFt2, area, showArea),
      cell(values.boardFeet, 1, figures),
      `${cell(values.cubicFt, stem, showStem)}${values.filled ? '*' : ''}`,
      cell(values.pounds, mass, figures),
      saidOf(tree, units),
    ];
  }
}

/** What was said of a tree besides its sizes. */
function saidOf(tree: Tree, units: Units): string {
  const said: string[] = [];
  if (tree.count > 1) said.push(`${tree.count} alike`);
  if (tree.logs !== null) said.push(wording.logs(tree.logs));
  if (tree.merchFt !== null) said.push(`${wording.length(tree.merchFt, units)} merchantable`);
  if (tree.status !== 'live') said.push(tree.status);
  said.push(...tree.marks);
  if (tree.defectPct > 0) said.push(`${wording.digits(tree.defectPct, 0)} percent defect`);
  if (!tree.counted) said.push('out: not counted');
  if (tree.half) said.push('counted half');
  return said.join(', ');
}
