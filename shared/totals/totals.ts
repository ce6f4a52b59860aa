/**
 * Totals of a book: trees, plots, basal area, density, volume, biomass, carbon, mean sizes, each with its error and what was
 * left out. Answers come from the sums of plots that the ledger keeps; no question looks at the trees.
 */
import type { LogRule, Status } from '../note.ts';
import { biomassSource, type CarbonFraction, carbonFractions, poundsPerKg } from './biomass.ts';
import { type BookDoubt, bookDoubts, type PlotSeen } from './bookdoubts.ts';
import type { Cells, Column } from './cells.ts';
import { statusNumber } from './contribution.ts';
import { basalAreaFactor, compositeFormFactor } from './cubic.ts';
import { plotsNeeded } from './estimators.ts';
import { type Frame, frameMean, frameRatio, limits } from './frame.ts';
import { columns, expandsBy, type LedgerSettings, statusOrder } from './ledger.ts';
import { type Recipe, Selection } from './selection.ts';
import { treeVolumeSources } from './treevolume.ts';
import type { Estimate, TotalsScope, TreeRecord } from './types.ts';

export type { Estimate, TotalsScope } from './types.ts';

export interface TotalsSettings extends LedgerSettings {
  /** Confidence of the limits; 0.95 where missing. */
  confidence?: number;
  carbon?: CarbonFraction;
  /** Cubic volume as a share of basal area times height; the composite 0.42 where missing. */
  formFactor?: number;
}

export type Quantity = 'basalArea' | 'density' | LogRule | 'cubic' | 'biomass' | 'carbon';
export type MeanQuantity = 'meanHeight' | 'lorey' | 'meanDiameter' | 'quadraticDiameter';

const same = (names: readonly Column[], scale: number): Recipe => ({
  area: names,
  gauge: names,
  areaScale: scale,
  gaugeScale: scale,
});

const noError = { low: null, high: null, samplingErrorPct: null } as const;
const trees = (n: number): string => (n === 1 ? '1 tree' : `${n} trees`);
const has = (n: number): string => (n === 1 ? 'has' : 'have');

export class Totals extends Selection {
  readonly confidence: number;
  readonly #carbon: CarbonFraction;
  readonly #formFactor: number;

  constructor(settings: TotalsSettings = {}) {
    super(settings);
    this.confidence = settings.confidence ?? 0.95;
    this.#carbon = settings.carbon ?? 'half';
    this.#formFactor = settings.formFactor ?? compositeFormFactor;
  }

  /** How many trees were told, borderline trees found out not counted. All statuses unless the scope names one. */
  trees(scope: TotalsScope = {}): Estimate {
    const cells = this.cells(scope);
    const count = this.pick(cells, this.placesIn(scope), scope, true);
    const byStatus = { live: 0, dead: 0, cull: 0 };
    for (let i = 0; i < count; i++) {
      const cell = this.picked[i]!;
      byStatus[statusOrder[cells.status[cell]!]!] += cells.sums[columns.n]![cell]!;
    }
    const status = scope.status ?? 'all';
    const value = status === 'all' ? byStatus.live + byStatus.dead + byStatus.cull : byStatus[status];
    return this.#answer({ value, unit: 'trees', se: 0, trees: value, byStatus, confidence: this.confidence });
  }

  /** Counted trees of one plot, of any status. */
  treesOnPlot(id: string): number {
    const plot = this.indexOfPlot(id);
    let sum = 0;
    if (plot === undefined) return sum;
    for (let cell = this.whole.head(plot); cell >= 0; cell = this.whole.next[cell]!) {
      sum += this.whole.sums[columns.n]![cell]!;
    }
    return sum;
  }

  /** What in the book would make its totals wrong; see `bookdoubts.ts`. Looks at plots, not at trees. */
  bookDoubts(): BookDoubt[] {
    let singles = 0;
    const plots: PlotSeen[] = [];
    for (let plot = 0; plot < this.plotIds.length; plot++) {
      const id = this.plotIds[plot]!;
      if (id.startsWith('\0')) singles += this.plotTrees[plot]!;
      else plots.push({ id, record: this.plotRecords[plot], trees: this.plotTrees[plot]! });
    }
    return bookDoubts({
      plots,
      singles,
      stands: [...this.stands.values()],
      strata: [...this.strata.values()],
    });
  }

  /** How many plots count: those with trees, and closed or empty ones. */
  plots(scope: TotalsScope = {}): Estimate {
    const inScope = this.placesIn(scope);
    let value = 0;
    let open = 0;
    for (let plot = 0; plot < this.plotIds.length; plot++) {
      if (inScope[plot] !== 1 || this.plotRecords[plot] === undefined) continue;
      if (this.counts(plot)) value++;
      else open++;
    }
    const leftOut =
      open > 0 ? [`${open === 1 ? '1 plot is' : `${open} plots are`} open and without trees yet.`] : [];
    return this.#answer({ value, unit: 'plots', se: 0, plots: value, leftOut });
  }

  /** Value of an acre, over the plots of the scope. Live trees unless the scope says otherwise. */
  perAcre(quantity: Quantity, scope: TotalsScope = {}): Estimate {
    return this.#additive(quantity, scope, false);
  }

  /**
   * Value of the whole area of the scope's stands: needs their areas when plots were sampled. Without any plot of known
   * size it is the sum of the trees themselves, and says so.
   */
  total(quantity: Quantity, scope: TotalsScope = {}): Estimate {
    return this.#additive(quantity, scope, true);
  }

  basalArea(scope: TotalsScope = {}): Estimate {
    return this.perAcre('basalArea', scope);
  }
  density(scope: TotalsScope = {}): Estimate {
    return this.perAcre('density', scope);
  }
  volumePerAcre(rule: LogRule, scope: TotalsScope = {}): Estimate {
    return this.perAcre(rule, scope);
  }
  volume(rule: LogRule, scope: TotalsScope = {}): Estimate {
    return this.total(rule, scope);
  }

  #recipe(quantity: Quantity): Recipe {
    switch (quantity) {
      case 'basalArea':
        return { area: ['dd'], gauge: ['n'], areaScale: basalAreaFactor, gaugeScale: 1 };
      case 'density':
        return { area: ['n'], gauge: ['w'], areaScale: 1, gaugeScale: 1 };
      case 'cubic':
        return {
          area: ['hb', 'fb'],
          gauge: ['hb', 'fb'],
          areaScale: this.#formFactor * basalAreaFactor,
          gaugeScale: this.#formFactor,
        };
      case 'biomass':
        return same(['kg'], poundsPerKg);
      case 'carbon':
        return same(['kg'], poundsPerKg * carbonFractions[this.#carbon].value);
      default:
        return same([quantity], 1);
    }
  }

  #additive(quantity: Quantity, scope: TotalsScope, whole: boolean): Estimate {
    const recipe = this.#recipe(quantity);
    const unit = unitOf(quantity, whole);
    const cells = this.cells(scope);
    const inScope = this.placesIn(scope);
    const count = this.pick(cells, inScope, scope, false);
    if (quantity === 'cubic') this.fill(cells, this.picked, count);
    const frame = this.frame(inScope, scope);
    const status = scope.status ?? 'live';
    const notes = this.#notes(quantity, cells, count, status, frame);
    const base = {
      unit,
      plots: frame.plots,
      trees: notes.trees,
      filled: notes.filled,
      leftOut: notes.leftOut,
      sources: this.#sources(quantity),
    };
    if (frame.domains.length === 0) {
      const { singles } = notes;
      if (whole && singles > 0 && quantity !== 'density') {
        const byStatus = this.sumByStatus(cells, count, recipe, null);
        const value = ofStatus(byStatus, status);
        notes.assumed.push(`No plot of known size: this is the sum of the ${trees(notes.trees)} themselves.`);
        const leftOut = notes.leftOut.filter((sentence) => sentence !== notes.offPlots);
        return this.#answer({ ...base, value, byStatus, leftOut, assumed: notes.assumed });
      }
      return this.#answer({
        ...base,
        value: null,
        leftOut: [...notes.leftOut, 'No plot with a size counts here yet, so there is no value for an acre.'],
        assumed: notes.assumed,
      });
    }
    const pooled = !frame.weighted && frame.domains.length > 1;
    if (pooled) notes.assumed.push('Not every stand or stratum has an area, so all plots count alike.');
    const sampled = frame.domains.some((domain) => !domain.census);
    if (!frame.weighted && !sampled && !whole) {
      return this.#answer({
        ...base,
        value: null,
        leftOut: [
          ...notes.leftOut,
          'Every tree was measured, but the stand has no area, so there is no value for an acre.',
        ],
        assumed: notes.assumed,
      });
    }
    if (whole && frame.acres === null && sampled) {
      return this.#answer({
        ...base,
        value: null,
        leftOut: [...notes.leftOut, 'An area is missing, so there is only a value for an acre.'],
        assumed: notes.assumed,
      });
    }
    // A full tally without an area: only its sum is known, which is the total with an acre of one.
    const used: Frame = frame.weighted || sampled ? frame : { ...frame, weighted: true };
    const mean = frameMean(used, this.gather(cells, count, recipe, status, 'y'));
    if (mean === null) return this.#answer({ ...base, value: null, assumed: notes.assumed });
    let acres = 1;
    if (whole) {
      acres = 0;
      for (const domain of frame.domains) acres += domain.acres ?? 1;
    }
    const byStatus = this.sumByStatus(cells, count, recipe, this.shares(used));
    for (const each of statusOrder) byStatus[each] *= acres;
    const value = mean.mean * acres;
    const se = mean.se === null ? null : mean.se * acres;
    if (mean.se === null && mean.n > 1)
      notes.leftOut.push('A stratum has one plot only, so there is no error yet.');
    return this.#answer({
      ...base,
      value,
      se,
      df: mean.df,
      byStatus,
      ...limits(value, se, mean.df, this.confidence),
      assumed: notes.assumed,
    });
  }

  /** Mean height of the measured trees (weighted to the acre on plots). `filled`: the curve stands in for missing heights. */
  meanHeight(scope: TotalsScope = {}, options: { filled?: boolean } = {}): Estimate {
    return this.#ratio(
      same(options.filled ? ['h', 'f'] : ['h'], 1),
      same(options.filled ? ['wh', 'wf'] : ['wh'], 1),
      scope,
      { unit: 'ft', count: 'heighted', missing: 'height', square: 'hh', filled: options.filled ?? false },
    );
  }

  /** Lorey's height: mean weighted by basal area; missing heights are filled from the curve. */
  loreyHeight(scope: TotalsScope = {}): Estimate {
    const k = basalAreaFactor;
    return this.#ratio(
      { area: ['hb', 'fb'], gauge: ['hb', 'fb'], areaScale: k, gaugeScale: 1 },
      { area: ['bh', 'bf'], gauge: ['bh', 'bf'], areaScale: k, gaugeScale: 1 },
      scope,
      { unit: 'ft', count: 'heighted', missing: 'height', square: null, filled: true },
    );
  }

  meanDiameter(scope: TotalsScope = {}): Estimate {
    return this.#ratio(same(['d'], 1), same(['w'], 1), scope, {
      unit: 'in',
      count: 'sized',
      missing: 'diameter',
      square: 'dd',
      filled: false,
    });
  }

  /** Quadratic mean diameter, inches: sqrt of the mean square, the diameter of the tree of mean basal area. */
  quadraticDiameter(scope: TotalsScope = {}): Estimate {
    const squared = this.#ratio(
      { area: ['dd'], gauge: ['sized'], areaScale: 1, gaugeScale: 1 / basalAreaFactor },
      same(['w'], 1),
      scope,
      { unit: 'in', count: 'sized', missing: 'diameter', square: null, filled: false },
    );
    if (squared.value === null) return squared;
    const value = Math.sqrt(squared.value);
    const se = squared.se === null ? null : squared.se / (2 * value);
    return { ...squared, value, se, ...limits(value, se, squared.df, this.confidence) };
  }

  #ratio(
    top: Recipe,
    bottom: Recipe,
    scope: TotalsScope,
    of: { unit: 'ft' | 'in'; count: Column; missing: string; square: Column | null; filled: boolean },
  ): Estimate {
    const cells = this.cells(scope);
    const inScope = this.placesIn(scope);
    const count = this.pick(cells, inScope, scope, true);
    const status = scope.status ?? 'live';
    if (of.filled) this.fill(cells, this.picked, count);
    const all = this.countIn(cells, count, 'n', status);
    const measured = this.countIn(cells, count, of.count, status);
    const filled = of.filled ? this.countIn(cells, count, 'filled', status) : 0;
    const leftOut: string[] = [];
    const assumed: string[] = [];
    const missing = all - measured - filled;
    if (missing > 0)
      leftOut.push(
        `${trees(missing)} ${has(missing)} no ${of.missing} and ${missing === 1 ? 'is' : 'are'} left out.`,
      );
    if (filled > 0)
      assumed.push(`${filled === 1 ? '1 height was' : `${filled} heights were`} filled from the curve.`);
    const base = { unit: of.unit, trees: measured + filled, filled, assumed };
    if (measured + filled === 0) {
      return this.#answer({
        ...base,
        value: null,
        leftOut: [...leftOut, `No ${of.missing} has been measured here.`],
      });
    }
    const frame = this.frame(inScope, { ...scope, day: undefined, person: undefined });
    const y = this.gather(cells, count, top, status, 'y');
    const x = this.gather(cells, count, bottom, status, 'x');
    const found = frameRatio(frame, y, x);
    if (found !== null) {
      const off = this.countIn(
        cells,
        count,
        of.count,
        status,
        (plot) => this.plotKind[plot] === expandsBy.nothing,
      );
      if (off > 0)
        leftOut.push(`${trees(off)} on no plot of known size ${off === 1 ? 'is' : 'are'} left out.`);
      const { ratio: value, se, df } = found;
      return this.#answer({
        ...base,
        trees: measured + filled - off,
        value,
        se,
        df,
        plots: found.n,
        leftOut,
        ...limits(value, se, df, this.confidence),
      });
    }
    // Trees on no plot: every tree counts alike.
    let sum = 0;
    let weight = 0;
    let squares = 0;
    for (let i = 0; i < count; i++) {
      const cell = this.picked[i]!;
      if (status !== 'all' && cells.status[cell] !== statusNumber[status]) continue;
      if (this.plotKind[cells.plot[cell]!] === expandsBy.factor) continue;
      for (const name of top.area) sum += cells.sums[columns[name]]![cell]! * top.areaScale;
      for (const name of bottom.area) weight += cells.sums[columns[name]]![cell]! * bottom.areaScale;
      if (of.square !== null) squares += cells.sums[columns[of.square]]![cell]!;
    }
    if (!(weight > 0)) {
      return this.#answer({
        ...base,
        value: null,
        leftOut: [...leftOut, `No tree with a ${of.missing} has a weight here.`],
      });
    }
    const value = sum / weight;
    let se: number | null = null;
    if (of.square !== null && weight > 1 && filled === 0) {
      se = Math.sqrt(Math.max(0, squares - weight * value * value) / (weight - 1) / weight);
      assumed.push('The trees are taken as a random sample.');
    }
    const df = se === null ? 0 : weight - 1;
    return this.#answer({ ...base, value, se, df, leftOut, ...limits(value, se, df, this.confidence) });
  }

  /** The tallest measured, or thickest, tree of the scope. Live and dead alike unless the scope names a status. */
  foremostTree(by: 'tallest' | 'thickest', scope: TotalsScope = {}): TreeRecord | null {
    const cells = this.cells(scope);
    const count = this.pick(cells, this.placesIn(scope), scope, true);
    const status = scope.status ?? 'all';
    const size = (tree: TreeRecord): number => (by === 'tallest' ? tree.heightFt : tree.diameterIn) ?? 0;
    let best: TreeRecord | null = null;
    for (let i = 0; i < count; i++) {
      const cell = this.picked[i]!;
      if (status !== 'all' && cells.status[cell] !== statusNumber[status]) continue;
      const tree = this.foremost(cells, cell, by);
      if (tree === null) continue;
      const ahead = best === null ? 1 : size(tree) - size(best) || best.number - tree.number;
      if (ahead > 0) best = tree;
    }
    return best;
  }

  /** How much the plots of the scope differ: standard deviation and coefficient of variation; null below two plots. */
  spread(
    quantity: Quantity,
    scope: TotalsScope = {},
  ): { n: number; mean: number; sd: number; cvPct: number | null; populationSize: number } | null {
    const cells = this.cells(scope);
    const inScope = this.placesIn(scope);
    const count = this.pick(cells, inScope, scope, false);
    if (quantity === 'cubic') this.fill(cells, this.picked, count);
    const frame = this.frame(inScope, scope);
    const sampled = frame.domains.filter((domain) => !domain.census);
    const plots = sampled.flatMap((domain) => domain.plots);
    if (plots.length < 2) return null;
    const y = this.gather(cells, count, this.#recipe(quantity), scope.status ?? 'live', 'y');
    let mean = 0;
    for (const plot of plots) mean += y[plot]! / plots.length;
    let squares = 0;
    for (const plot of plots) squares += (y[plot]! - mean) ** 2;
    const sd = Math.sqrt(squares / (plots.length - 1));
    let populationSize = 0;
    for (const domain of sampled) populationSize += domain.populationSize;
    return { n: plots.length, mean, sd, cvPct: mean > 0 ? (100 * sd) / mean : null, populationSize };
  }

  /**
   * Plots needed in all, and how many more, for a sampling error in percent, at the spread seen so far (all plots of the
   * scope as one sample). Null value with a sentence below two plots.
   */
  plotsNeeded(
    errorPct: number,
    scope: TotalsScope = {},
    quantity: Quantity = 'basalArea',
  ): {
    readonly more: number | null;
    readonly needed: number | null;
    readonly n: number;
    readonly cvPct: number | null;
    readonly sentence: string;
  } {
    const spread = this.spread(quantity, scope);
    const n = spread?.n ?? this.frame(this.placesIn(scope), scope).plots;
    const refuse = (sentence: string) => ({
      more: null,
      needed: null,
      n,
      cvPct: spread?.cvPct ?? null,
      sentence,
    });
    if (!(errorPct > 0)) return refuse(`An error above 0 percent is needed, not ${errorPct}.`);
    if (spread === null)
      return refuse(
        n === 1
          ? 'One plot shows no spread: measure a second one first.'
          : 'At least two plots with a size are needed first.',
      );
    if (spread.cvPct === null) return refuse('The plots hold none of it, so there is no spread to go by.');
    const { cvPct, populationSize } = spread;
    const needed = plotsNeeded({
      cvPct,
      errorPct,
      confidence: this.confidence,
      populationSize: Math.max(populationSize, 2),
    });
    const few = n < 5 ? ` ${n} plots say little; ask again after five.` : '';
    return {
      more: Math.max(0, needed - n),
      needed,
      n,
      cvPct,
      sentence: `Plots differ by ${Math.round(cvPct)} percent.${few}`,
    };
  }

  /** What is missing from a value, in sentences. */
  #notes(quantity: Quantity, cells: Cells, count: number, status: Status | 'all', frame: Frame) {
    const leftOut: string[] = [];
    const assumed: string[] = [];
    const off = (plot: number): boolean => this.plotKind[plot] === expandsBy.nothing;
    const on = frame.domains.length === 0 ? undefined : (plot: number): boolean => !off(plot);
    const all = this.countIn(cells, count, 'n', status, on);
    const singles = this.countIn(cells, count, 'n', status, off);
    const offPlots =
      singles === 0
        ? null
        : `${trees(singles)} on no plot of known size ${singles === 1 ? 'is' : 'are'} left out.`;
    if (offPlots !== null) leftOut.push(offPlots);
    const lacking = (n: number, what: string): void => {
      if (n > 0) leftOut.push(`${trees(n)} ${has(n)} no ${what} and ${n === 1 ? 'is' : 'are'} left out.`);
    };
    const gaugeOnly = (plot: number): boolean => this.plotKind[plot] === expandsBy.factor;
    const count_ = (name: Column, where = on): number => this.countIn(cells, count, name, status, where);
    let used = all;
    let filled = 0;
    if (quantity === 'basalArea') {
      const bare = all - count_('sized') - (count_('n', gaugeOnly) - count_('sized', gaugeOnly));
      lacking(bare, 'diameter');
      used -= bare;
    } else if (quantity === 'density') {
      const bare = count_('n', gaugeOnly) - count_('sized', gaugeOnly);
      lacking(bare, 'diameter');
      used -= bare;
    } else if (quantity === 'cubic') {
      filled = count_('filled');
      // A height without a diameter has no volume; `bh` counts trees at a gauge only, so diameters are taken as the bound.
      used = Math.min(count_('heighted'), count_('sized')) + filled;
      lacking(Math.max(0, all - used), this.hasCurve ? 'height or diameter' : 'height');
      if (filled > 0)
        assumed.push(`${filled === 1 ? '1 height was' : `${filled} heights were`} filled from the curve.`);
    } else if (quantity === 'biomass' || quantity === 'carbon') {
      used = count_('massed');
      const beyond = count_('beyond');
      if (beyond > 0)
        leftOut.push(
          `${trees(beyond)} outside the diameters behind the biomass equations ${beyond === 1 ? 'is' : 'are'} left out.`,
        );
      lacking(all - used - beyond, 'known species or diameter');
      if (quantity === 'carbon') assumed.push(`${carbonFractions[this.#carbon].source}.`);
    } else {
      used = count_('volumed');
      lacking(all - used, 'logs');
      const form = count_('formAssumed');
      if (form > 0) assumed.push(`Form class ${this.formClass} for ${trees(form)}.`);
    }
    return { leftOut, assumed, trees: used, filled, singles, offPlots };
  }

  #sources(quantity: Quantity): readonly string[] {
    switch (quantity) {
      case 'basalArea':
        return ['basal area 0.005454 times the diameter squared; at a gauge the factor for each tree'];
      case 'density':
        return ['trees over the plot area; at a gauge the factor over the basal area of each tree'];
      case 'cubic':
        return [
          this.#formFactor === compositeFormFactor
            ? 'whole stem 0.42 x basal area x height (from memory: Gevorkiantz & Olsen 1955, USDA Tech. Bull. 1104)'
            : `whole stem ${this.#formFactor} x basal area x height, form factor as set`,
        ];
      case 'biomass':
        return [biomassSource];
      case 'carbon':
        return [biomassSource, carbonFractions[this.#carbon].source];
      default:
        return treeVolumeSources(quantity);
    }
  }

  #answer(of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>): Estimate {
    return {
      se: null,
      df: 0,
      ...noError,
      confidence: this.confidence,
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
}

const ofStatus = (by: Record<Status, number>, status: Status | 'all'): number =>
  status === 'all' ? by.live + by.dead + by.cull : by[status];

function unitOf(quantity: Quantity, whole: boolean): Estimate['unit'] {
  switch (quantity) {
    case 'basalArea':
      return whole ? 'ft2' : 'ft2/acre';
    case 'density':
      return whole ? 'trees' : 'trees/acre';
    case 'cubic':
      return whole ? 'ft3' : 'ft3/acre';
    case 'biomass':
    case 'carbon':
      return whole ? 'lb' : 'lb/acre';
    default:
      return whole ? 'bf' : 'bf/acre';
  }
}
