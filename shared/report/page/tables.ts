/** Tables of the report: summary, stand and stock, species, precision, plots, trees. In the units of the book. */

import type { Book } from '../../book/book.ts';
import { meanHeight } from '../../book/mean-height.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { required } from '../../core/required.ts';
import { byLogRule, type LogRule, logRules, usualLogRule } from '../../note/log-rules.ts';
import { speciesByCode } from '../../note/species.ts';
import type { StockRow } from '../../totals/totals.ts';
import { type Estimate, type SpeciesKey, speciesKey } from '../../totals/types.ts';
import { shownAs } from '../../wording/display-units.ts';
import * as wording from '../../wording/wording.ts';
import type { Measure } from './measures.ts';
import type { ReportTable, Section } from './sections.ts';

export const metricOf = (book: Book): boolean => book.settings.now.units === 'metres';
export const ruleOf = (book: Book): LogRule => book.settings.now.logRule ?? usualLogRule;

/** A number with as many decimals as its size needs; thousands apart from ten thousand on. */
export function figures(value: number): string {
  if (Math.abs(value) < 9.95) return wording.digits(value, 1);
  const whole = Math.round(value);
  return Math.abs(value) < 10_000 ? String(whole) : wording.thousands(whole);
}
/** A size: always to a tenth. */
export const tenths = (value: number): string => value.toFixed(1);

export function summarySection(
  book: Book,
  measures: readonly Measure[],
  answers: readonly string[],
): Section {
  const metric = metricOf(book);
  const rows = measures.map(({ name, estimate }) => {
    const { factor, short } = shownAs(estimate.unit, metric);
    const show = sizeOr(estimate);
    const half = estimate.samplingErrorPct;
    return [
      name,
      `${show(required(estimate.value, 'a value') * factor)} ${short}`,
      half === null || half === 0 ? '' : half > 100 ? 'more than itself' : `${figures(half)} %`,
    ];
  });
  const trees = totalsOf(book).trees();
  const dead = trees.byStatus?.dead ?? 0;
  const open = book.doubts.filter(({ state }) => state === 'open').length;
  const counts = [
    `${wording.sentence(wording.treeCount(trees.value ?? 0))}${dead > 0 ? `, ${dead} of them dead` : ''}`,
    plotWords(book),
  ].filter((words) => words !== '');
  const doubts =
    open === 0
      ? 'No doubt is open.'
      : `${open === 1 ? 'One doubt is' : `${open} doubts are`} open: see below.`;
  const lines = [`${counts.join(', on ')}. ${doubts}`];
  // Without a value to show, the answers say why there is none.
  if (rows.length === 0) return { heading: 'Summary', lines: [...lines, ...answers] };
  return {
    heading: 'Summary',
    lines,
    table: { head: ['', 'value', 'give or take'], rows },
    notes: [
      'Give or take: half of the 95 percent limits over plots.',
      ...pooled(measures),
      ...inDoubt(book),
      ...leftOut(measures),
    ],
  };
}

/** Plots that were laid out in two ways are pooled only with a word. */
const pooled = (measures: readonly Measure[]): string[] =>
  [...new Set(measures.flatMap(({ estimate }) => estimate.assumed))].filter((sentence) =>
    sentence.includes('pooled'),
  );

/** How much of the live basal area is of trees that are counted although a doubt about them is open. */
function inDoubt(book: Book): string[] {
  const open = new Set(book.doubts.flatMap(({ state, tree }) => (state === 'open' && tree ? [tree] : [])));
  const totals = totalsOf(book);
  let [doubtful, whole, trees] = [0, 0, 0];
  for (const tree of book.trees()) {
    if (!tree.counted || tree.status === 'dead') continue;
    const { basalAreaFt2, perAcre } = totals.valuesOf(tree, ruleOf(book));
    const weight = tree.count * (basalAreaFt2 ?? 0) * (perAcre ?? 1);
    whole += weight;
    if (!open.has(tree.id) || weight === 0) continue;
    doubtful += weight;
    trees++;
  }
  if (trees === 0) return [];
  const them =
    trees === 1
      ? '1 tree that is counted has an open doubt'
      : `${trees} trees that are counted have open doubts`;
  return [
    `${them}; ${trees === 1 ? 'it holds' : 'they hold'} ${figures((100 * doubtful) / whole)} percent of the live basal area.`,
  ];
}

const sizeOr = ({ unit }: Estimate): ((value: number) => string) =>
  unit === 'ft' || unit === 'in' ? tenths : figures;

function plotWords(book: Book): string {
  const plots = [...book.plots()];
  if (plots.length === 0) return '';
  const sizes = new Set(plots.map((plot) => wording.plotSize(plot, book.settings.now.units)));
  const empty = plots.filter((plot) => plot.empty).length;
  const all = plots.length === 1 ? '1 plot' : `${plots.length} plots`;
  return `${all} of ${wording.list([...sizes])}${empty > 0 ? `, ${empty} of them empty` : ''}`;
}

/** What is not in a value, with the values that it is not in: "Basal area, trees: 1 tree has ..." */
function leftOut(measures: readonly Measure[]): string[] {
  const lacking = new Map<string, string[]>();
  for (const { name, estimate } of measures) {
    for (const one of estimate.leftOut) lacking.set(one, [...(lacking.get(one) ?? []), name]);
  }
  return [...lacking].map(
    ([one, names]) =>
      `${wording.sentence(wording.list(names.map((name) => name.charAt(0).toLowerCase() + name.slice(1))))}: ${one}`,
  );
}

/** The stand and stock table: trees, basal area and board feet of an acre by species and class of diameter. */
export function stockSection(book: Book): Section | null {
  const metric = metricOf(book);
  const { perAcre, rows } = totalsOf(book).stockTable({}, metric ? { cm: 5 } : 2);
  if (rows.length === 0) return null;
  const rule = ruleOf(book);
  const unit = (name: 'trees/acre' | 'ft2/acre') => shownAs(name, metric);
  const [density, area] = [unit('trees/acre'), unit('ft2/acre')];
  const cells = (name: string, size: string, of: Sums): string[] => [
    name,
    size,
    String(of.trees),
    tenths(of.density * (perAcre ? density.factor : 1)),
    tenths(of.basalArea * (perAcre ? area.factor : shownAs('ft2', metric).factor)),
    figures(of[rule] * (perAcre ? shownAs('bf/acre', metric).factor : 1)),
    of.meanHeightFt === null ? '' : tenths(of.meanHeightFt * shownAs('ft', metric).factor),
  ];
  const bySpecies = new Map<SpeciesKey, StockRow[]>();
  for (const row of rows) bySpecies.set(row.species, [...(bySpecies.get(row.species) ?? []), row]);
  const table: string[][] = [];
  const sums = new Set<number>();
  for (const [species, own] of bySpecies) {
    own.forEach((row, at) => {
      const size = metric ? (row.classIn * shownAs('in', true).factor).toFixed(0) : String(row.classIn);
      table.push(cells(at === 0 ? wording.speciesName(species) : '', size, row));
    });
    if (own.length > 1) {
      sums.add(table.length);
      table.push(cells(own.length > 1 ? 'in all' : '', '', sumOf(own)));
    }
  }
  if (bySpecies.size > 1) {
    sums.add(table.length);
    table.push(cells('All species', '', sumOf(rows)));
  }
  return {
    heading: 'Stand and stock table',
    table: {
      head: [
        'species',
        `dbh, ${metric ? 'cm' : 'in'}`,
        'told',
        perAcre ? density.short : 'trees',
        perAcre ? area.short : shownAs('ft2', metric).short,
        perAcre ? shownAs('bf/acre', metric).short : 'board feet',
        `height, ${metric ? 'm' : 'ft'}`,
      ],
      rows: table,
      sums: (row) => sums.has(row),
    },
    notes: [
      `Live trees in classes of ${metric ? 'five centimetres' : 'two inches'} about the diameter given. Told: trees in the book. Board feet by ${logRules[rule].name}, of trees whose logs were said. Height: mean of those measured.${
        perAcre ? '' : ' No plot has a size: these are sums of the trees told, not values of an acre.'
      }`,
    ],
  };
}

type Sums = Omit<StockRow, 'species' | 'classIn'>;

function sumOf(rows: readonly StockRow[]): Sums {
  const sum = (name: Exclude<keyof Sums, 'meanHeightFt'>): number =>
    rows.reduce((total, row) => total + row[name], 0);
  return {
    trees: sum('trees'),
    density: sum('density'),
    basalArea: sum('basalArea'),
    ...byLogRule(sum),
    // A mean of class means would need their weights: the species table has it.
    meanHeightFt: null,
  };
}

export function speciesSection(book: Book): Section | null {
  const codes = [...new Set([...book.trees()].map(speciesKey))];
  if (codes.length === 0) return null;
  const metric = metricOf(book);
  const totals = totalsOf(book);
  const cell = (estimate: Estimate): string => {
    if (estimate.value === null) return '';
    const { factor } = shownAs(estimate.unit, metric);
    const se = estimate.se === null || estimate.se === 0 ? '' : ` ± ${tenths(estimate.se * factor)}`;
    return `${tenths(estimate.value * factor)}${se}`;
  };
  const rows = codes.map((species) => {
    const scope = { species };
    const plants = typeof species === 'number' ? speciesByCode(species)?.symbol : undefined;
    return [
      wording.speciesName(species),
      plants ?? '',
      figures(totals.trees(scope).value ?? 0),
      cell(totals.quadraticDiameter(scope)),
      cell(meanHeight(book, scope)),
      cell(totals.basalArea(scope)),
      cell(totals.density(scope)),
    ];
  });
  return {
    heading: 'By species',
    table: {
      head: [
        '',
        'PLANTS',
        'told',
        `mean dbh, ${metric ? 'cm' : 'in'}`,
        `mean height, ${metric ? 'm' : 'ft'}`,
        shownAs('ft2/acre', metric).short,
        shownAs('trees/acre', metric).short,
      ],
      rows: rows.sort((a, b) => Number(b[2]) - Number(a[2])),
      wide: true,
    },
    notes: ['With ± one standard error. Mean dbh is the quadratic mean.'],
  };
}

export function precisionSection(book: Book, measures: readonly Measure[]): Section | null {
  const metric = metricOf(book);
  const known = measures.filter(({ estimate: { se } }) => se !== null && se > 0);
  const rows = known.map(({ name, estimate }) => {
    const { factor, short } = shownAs(estimate.unit, metric);
    const show = sizeOr(estimate);
    const at = (value: number | null) => (value === null ? '' : show(value * factor));
    return [
      name,
      `${at(estimate.value)} ${short}`,
      at(estimate.se),
      estimate.low === null || estimate.high === null ? '' : `${at(estimate.low)} to ${at(estimate.high)}`,
      estimate.samplingErrorPct === null ? '' : `${figures(estimate.samplingErrorPct)} %`,
      `${wording.digits(estimate.df, 1)}`,
      String(estimate.trees),
      estimate.filled > 0 ? String(estimate.filled) : '',
    ];
  });
  const more = neededLines(book);
  if (rows.length === 0 && more.length === 0) return null;
  const table: ReportTable = {
    head: ['', 'value', 'standard error', '95 % limits', 'sampling error', 'df', 'trees', 'heights filled'],
    rows,
    wide: true,
  };
  return { heading: 'Precision', ...(rows.length > 0 ? { table } : {}), notes: more };
}

/** What a smaller error would take, with the best spread over strata. */
function neededLines(book: Book): string[] {
  const totals = totalsOf(book);
  const plans = [20, 15, 10, 5].map((percent) => [percent, totals.plotsNeeded(percent)] as const);
  if (plans.every(([, { needed }]) => needed === null)) return [];
  const { n, cvPct } = plans[0]![1];
  const wanted = plans.map(([percent, { needed }]) => `${percent} percent takes ${needed} plots`);
  const { allocation } = required(
    plans.find(([percent]) => percent === 10),
    'the plan for 10 percent',
  )[1];
  return [
    `Basal area differs by ${figures(cvPct ?? 0)} percent between the ${n} plots. At that spread a sampling error of ${wording.list(wanted)}${n < 5 ? '; so few plots say little' : ''}.`,
    ...(allocation.length > 0
      ? [
          `Best spread for 10 percent, by area times spread: ${wording.list(allocation.map((one) => `${one.name} ${one.optimum}`))}; by area alone: ${wording.list(allocation.map((one) => `${one.name} ${one.proportional}`))}.`,
        ]
      : []),
  ];
}

export function plotSection(book: Book): Section | null {
  const { units } = book.settings.now;
  const metric = metricOf(book);
  const area = shownAs('ft2/acre', metric);
  const plots = [...book.plots()];
  if (plots.length === 0) return null;
  const several = book.stands.size > 1;
  const stratified = book.strata.size > 0;
  const totals = totalsOf(book);
  const rows = plots.map((plot) => {
    const basalArea = plot.empty ? 0 : totals.basalAreaOnPlot(plot.id);
    return [
      String(plot.number),
      ...(several ? [book.stands.get(plot.stand ?? '')?.name ?? ''] : []),
      ...(stratified ? [book.strata.get(plot.stratum ?? '')?.name ?? ''] : []),
      wording.plotSize(plot, units),
      plot.slopePct === null ? '' : `${wording.digits(plot.slopePct, 1)} %`,
      String(book.ledger.treesOnPlot(plot.id)),
      basalArea === null ? '' : figures(basalArea * area.factor),
      plot.empty ? 'empty' : plot.closed ? 'closed' : 'open',
    ];
  });
  return {
    heading: 'Plots',
    table: {
      head: [
        'plot',
        ...(several ? ['stand'] : []),
        ...(stratified ? ['stratum'] : []),
        'size',
        'slope',
        'trees',
        area.short,
        'state',
      ],
      rows,
    },
  };
}
