/**
 * Totals of a book: trees, plots, basal area, density, volume, biomass, carbon, mean sizes, each with its error and what was
 * left out. Answers come from the moments over plots that the ledger keeps; no question looks at the trees.
 */
import type { LogRule, Status } from '../note.ts';
import { carbonFractions, poundsPerKg } from './biomass.ts';
import { type BookDoubt, bookDoubts, type PlotSeen } from './bookdoubts.ts';
import type { Column } from './cells.ts';
import { basalAreaFactor, compositeFormFactor } from './cubic.ts';
import { plotsNeeded } from './estimators.ts';
import { frameMean, frameRatio, frameSpread, frameValue, limits, noScale, type Scale } from './frame.ts';
import type { LedgerSettings } from './ledger.ts';
import { type Group, type MeasureName, type PairName, pairs } from './moments.ts';
import { type Missing, missingFrom, type Quantity, sentences, sourcesOf, unitOf } from './reckoning.ts';
import { expanding, Selection } from './selection.ts';
import { type StockRow, stockRows, topHeightOf, topTreesPerAcre, unweighted, weightsOf } from './stock.ts';
import type { Estimate, TotalsScope, TreeRecord } from './types.ts';

export type { BookDoubt } from './bookdoubts.ts';
export type { Quantity } from './reckoning.ts';
export type { StockRow } from './stock.ts';
export type { Estimate, TotalsScope } from './types.ts';

export interface TotalsSettings extends LedgerSettings {
  /** Confidence of the limits, in (0, 1); 0.95 where missing. */
  readonly confidence?: number;
  /** Carbon in dry wood; 0.5 where missing. */
  readonly carbon?: keyof typeof carbonFractions;
  /** Cubic volume as a share of basal area times height; the composite 0.42 where missing. */
  readonly formFactor?: number;
}

/** What a sampling error in percent would take. */
export interface PlotsNeeded {
  readonly more: number | null;
  readonly needed: number | null;
  /** Plots so far. */
  readonly n: number;
  readonly cvPct: number | null;
  readonly sentence: string;
}

const liveDeadCull: readonly Status[] = ['live', 'dead', 'cull'];

export class Totals extends Selection {
  readonly confidence: number;
  readonly #carbon: keyof typeof carbonFractions;
  readonly #formFactor: number;

  constructor(settings: TotalsSettings = {}) {
    super(settings);
    this.confidence = settings.confidence ?? 0.95;
    this.#carbon = settings.carbon ?? 'half';
    this.#formFactor = settings.formFactor ?? compositeFormFactor;
  }

  /** How many trees were told; borderline trees found out do not count. All statuses unless the scope names one. */
  trees(scope: TotalsScope = {}): Estimate {
    const byStatus = { live: 0, dead: 0, cull: 0 };
    const byTree =
      (scope.day !== undefined || scope.person !== undefined) &&
      scope.plot === undefined &&
      scope.stratum === undefined;
    const person = scope.person === undefined ? undefined : this.numbering.person(scope.person);
    const groups = byTree ? [] : this.groupsIn(scope);
    for (const status of liveDeadCull) {
      const key = this.keyOf(scope, status);
      byStatus[status] = byTree
        ? this.registers.sum(key, {
            ...(scope.stand === undefined ? {} : { stand: scope.stand }),
            ...(scope.day === undefined ? {} : { day: scope.day }),
            person,
          })
        : this.sumOf(groups, key, 'n');
    }
    const status = scope.status ?? 'all';
    const value = status === 'all' ? byStatus.live + byStatus.dead + byStatus.cull : byStatus[status];
    return this.#answer({ value, unit: 'trees', se: 0, trees: value, byStatus });
  }

  /** Counted trees of one plot, of any status. */
  treesOnPlot(id: string): number {
    return this.trees({ plot: id }).value ?? 0;
  }

  /** How many plots count: those with trees, and closed or empty ones. */
  plots(scope: TotalsScope = {}): Estimate {
    let value = 0;
    let waiting = 0;
    for (const group of this.groupsIn(scope)) {
      value += group.plots;
      waiting += group.waiting;
    }
    const leftOut =
      waiting > 0
        ? [`${waiting === 1 ? '1 plot is' : `${waiting} plots are`} open and without trees yet.`]
        : [];
    return this.#answer({ value, unit: 'plots', se: 0, plots: value, leftOut });
  }

  /** Value of an acre, over the plots of the scope. Live trees unless the scope says otherwise. */
  perAcre(quantity: Quantity, scope: TotalsScope = {}): Estimate {
    return this.#additive(quantity, scope, false);
  }

  /**
   * Value of the whole area of the scope's stands: needs their areas where plots were sampled. Without any plot of known
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

  /** The measure behind a quantity and the factors to its unit. */
  #measureOf(quantity: Quantity): readonly [MeasureName, Scale] {
    switch (quantity) {
      case 'basalArea':
        return ['basalArea', { area: basalAreaFactor, gauge: 1 }];
      case 'density':
        return ['density', noScale];
      case 'cubic':
        return ['areaHeight', { area: this.#formFactor * basalAreaFactor, gauge: this.#formFactor }];
      case 'biomass':
        return ['kg', { area: poundsPerKg, gauge: poundsPerKg }];
      case 'carbon': {
        const factor = poundsPerKg * carbonFractions[this.#carbon].value;
        return ['kg', { area: factor, gauge: factor }];
      }
      default:
        return [quantity, noScale];
    }
  }

  #additive(quantity: Quantity, scope: TotalsScope, whole: boolean): Estimate {
    if (quantity === 'cubic') this.refill();
    const [measure, scale] = this.#measureOf(quantity);
    const status = scope.status ?? 'live';
    const key = this.keyOf(scope, status);
    const frame = this.frameOf(this.groupsIn(scope), scope.plot !== undefined);
    const sampled = frame.domains.some((domain) => !domain.census);
    const missing = missingFrom(quantity, frame.domains.length > 0 ? expanding(frame) : frame.loose, key);
    const off = frame.domains.length > 0 ? this.sumOf(frame.loose, key, 'n') : 0;
    const told = sentences(quantity, missing, off, {
      formClass: this.formClass,
      carbon: this.#carbon,
      curve: this.hasCurve,
    });
    const base = {
      unit: unitOf(quantity, whole),
      plots: frame.plots,
      trees: missing.used,
      filled: missing.filled,
      assumed: told.assumed,
      sources: sourcesOf(quantity, this.#formFactor, this.#carbon),
    };
    const refuse = (sentence: string): Estimate =>
      this.#answer({ ...base, value: null, leftOut: [...told.leftOut, sentence] });
    if (frame.domains.length === 0) {
      if (whole && missing.all > 0)
        return this.#sumOfTrees(quantity, scope, frame.loose, missing, base, told.leftOut);
      return refuse('No plot with a size counts here yet, so there is no value for an acre.');
    }
    if (!sampled && !frame.weighted && !whole) {
      return refuse('Every tree was measured, but an area is missing, so there is no value for an acre.');
    }
    if (whole && sampled && frame.acres === null) {
      return refuse('An area is missing, so there is only a value for an acre.');
    }
    const assumed = [...told.assumed];
    if (!frame.weighted && frame.domains.length > 1) {
      assumed.push('Not every stand or stratum has an area, so all plots count alike.');
    }
    const leftOut = [...told.leftOut];
    if (missing.all === 0 && frame.plots > 0) leftOut.push('No such tree stands on these plots.');
    // A full tally without an area: its total is the sum over an acre of one.
    const used = frame.weighted || sampled ? frame : { ...frame, weighted: true };
    const found = frameMean(used, key, measure, scale);
    if (found === null) return refuse('No plot counts here yet.');
    let acres = 1;
    if (whole) acres = used.domains.reduce((sum, domain) => sum + (domain.acres ?? 1), 0);
    const byStatus = { live: 0, dead: 0, cull: 0 };
    for (const each of liveDeadCull) {
      byStatus[each] = acres * frameValue(used, this.keyOf(scope, each), measure, scale);
    }
    const value = found.mean * acres;
    const se = found.se === null ? null : found.se * acres;
    if (found.se === null && found.n > 1)
      leftOut.push('A stand or stratum has one plot only, so there is no error yet.');
    const within = limits(value, se, found.df, this.confidence);
    return this.#answer({ ...base, value, se, df: found.df, ...within, byStatus, leftOut, assumed });
  }

  /** The sum of single trees, where there is no plot to expand from. */
  #sumOfTrees(
    quantity: Quantity,
    scope: TotalsScope,
    loose: readonly Group[],
    missing: Missing,
    base: Pick<Estimate, 'unit' | 'trees' | 'filled' | 'assumed' | 'sources'>,
    leftOut: readonly string[],
  ): Estimate {
    const [measure, scale] = this.#measureOf(quantity);
    const byStatus = { live: 0, dead: 0, cull: 0 };
    for (const status of liveDeadCull) {
      const key = this.keyOf(scope, status);
      for (const group of loose) byStatus[status] += scale.area * group.first(key, measure);
    }
    const status = scope.status ?? 'live';
    const value = status === 'all' ? byStatus.live + byStatus.dead + byStatus.cull : byStatus[status];
    if (missing.used === 0) return this.#answer({ ...base, value: null, leftOut });
    const them = missing.used === 1 ? 'the tree itself' : `the ${missing.used} trees themselves`;
    const assumed = [...base.assumed, `No plot of known size: this is ${them}.`];
    return this.#answer({ ...base, value, se: 0, byStatus, leftOut, assumed });
  }

  /** Mean height of measured live trees, weighted to the acre on plots. `filled`: the curve stands in for missing ones. */
  meanHeight(scope: TotalsScope = {}, options: { readonly filled?: boolean } = {}): Estimate {
    return options.filled
      ? this.#ratio('filledHeight', scope, { unit: 'ft', count: 'heighted', missing: 'height', filled: true })
      : this.#ratio('meanHeight', scope, { unit: 'ft', count: 'heighted', missing: 'height', square: 'hh' });
  }

  /** Lorey's height, feet: mean weighted by basal area; missing heights are filled from the curve. */
  loreyHeight(scope: TotalsScope = {}): Estimate {
    return this.#ratio('lorey', scope, { unit: 'ft', count: 'stemmed', missing: 'height', filled: true });
  }

  meanDiameter(scope: TotalsScope = {}): Estimate {
    return this.#ratio('meanDiameter', scope, {
      unit: 'in',
      count: 'sized',
      missing: 'diameter',
      square: 'dd',
    });
  }

  /** Quadratic mean diameter, inches: the diameter of the tree of mean basal area. */
  quadraticDiameter(scope: TotalsScope = {}): Estimate {
    const squared = this.#ratio('squareDiameter', scope, { unit: 'in', count: 'sized', missing: 'diameter' });
    if (squared.value === null) return squared;
    const value = Math.sqrt(squared.value);
    const se = squared.se === null ? null : squared.se / (2 * value);
    return { ...squared, value, se, ...limits(value, se, squared.df, this.confidence) };
  }

  #ratio(
    pair: PairName,
    scope: TotalsScope,
    of: { unit: 'ft' | 'in'; count: Column; missing: string; square?: Column; filled?: true },
  ): Estimate {
    if (of.filled) this.refill();
    const status = scope.status ?? 'live';
    const key = this.keyOf(scope, status);
    const groups = this.groupsIn(scope);
    const frame = this.frameOf(groups, scope.plot !== undefined);
    const area: Scale = { area: basalAreaFactor, gauge: 1 };
    const square: Scale = { area: 1, gauge: 1 / basalAreaFactor };
    const top = pair === 'lorey' ? area : pair === 'squareDiameter' ? square : noScale;
    // A full tally needs no area for a mean.
    const sampled = frame.domains.some((domain) => !domain.census);
    const used = sampled ? frame : { ...frame, weighted: true };
    const found = frameRatio(used, key, pair, top, pair === 'lorey' ? area : noScale);
    const on = found === null ? groups : expanding(frame);
    const measured = this.sumOf(on, key, of.count);
    const filled = of.filled ? this.sumOf(on, key, 'filled') : 0;
    const missing = this.sumOf(on, key, 'n') - measured - filled;
    const leftOut: string[] = [];
    if (missing > 0) {
      leftOut.push(
        `${missing === 1 ? '1 tree has' : `${missing} trees have`} no ${of.missing} and ${missing === 1 ? 'is' : 'are'} left out.`,
      );
    }
    const assumed: string[] = [];
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
    if (found !== null) {
      const off = this.sumOf(frame.loose, key, of.count);
      if (off > 0)
        leftOut.push(
          `${off === 1 ? '1 tree on no plot of known size is' : `${off} trees on no plot of known size are`} left out.`,
        );
      const { ratio: value, se, df, n } = found;
      return this.#answer({
        ...base,
        value,
        se,
        df,
        plots: n,
        leftOut,
        ...limits(value, se, df, this.confidence),
      });
    }
    // Trees on no plot: every tree counts alike.
    let sum = 0;
    let weight = 0;
    let squares = 0;
    for (const group of frame.loose) {
      const [y, x] = pairs[pair];
      sum += group.first(key, y) * top.area;
      weight += group.first(key, x) * (pair === 'lorey' ? area.area : 1);
      if (of.square !== undefined) squares += group.sum(key, of.square);
    }
    if (!(weight > 0)) {
      return this.#answer({
        ...base,
        value: null,
        leftOut: [...leftOut, `No ${of.missing} here has a weight: diameters are missing.`],
      });
    }
    const value = sum / weight;
    let se: number | null = null;
    if (of.square !== undefined && weight > 1) {
      se = Math.sqrt(Math.max(0, squares - weight * value * value) / (weight - 1) / weight);
      assumed.push('The trees are taken as a random sample.');
    }
    const df = se === null ? 0 : weight - 1;
    return this.#answer({ ...base, value, se, df, leftOut, ...limits(value, se, df, this.confidence) });
  }

  /** Top height: mean height of the thickest 100 trees a hectare (40.5 an acre), from measured live trees on plots. */
  topHeight(scope: TotalsScope = {}): Estimate {
    const frame = this.frameOf(this.#stocked(scope), scope.plot !== undefined);
    const status = scope.status ?? 'live';
    const keys: number[] = [];
    for (const [code, number] of this.numbering.allSpecies()) {
      if (scope.species !== undefined && scope.species !== code) continue;
      for (const each of status === 'all' ? liveDeadCull : [status]) {
        keys.push(number * 4 + liveDeadCull.indexOf(each));
      }
    }
    const found = topHeightOf(weightsOf(frame), keys);
    const leftOut: string[] = [];
    if (frame.domains.length === 0) leftOut.push('Top height needs plots with a size.');
    else if (found.feet === null) leftOut.push('None of the thickest trees has a measured height.');
    else if (!found.reached)
      leftOut.push(`There are fewer than ${Math.round(topTreesPerAcre)} trees an acre: all of them count.`);
    return this.#answer({
      value: found.feet,
      unit: 'ft',
      plots: frame.plots,
      trees: found.trees,
      leftOut,
      sources: ['mean height of the thickest 100 trees a hectare, 40.5 an acre (common practice, no source)'],
    });
  }

  /** Groups with their classes: kept ones, or for a plot, a day or a person made from the trees of those plots. */
  #stocked(scope: TotalsScope): Group[] {
    const groups = this.groupsIn(scope);
    const plot = scope.plot === undefined ? undefined : this.indexOfPlot(scope.plot);
    if (plot !== undefined) this.stockOf(plot, groups[0]!.sheet);
    if (plot !== undefined || (scope.day === undefined && scope.person === undefined)) return groups;
    const own = new Map(groups.map((group) => [group, group.withOwnSheet()]));
    for (let i = 0; i < this.plotIds.length; i++) {
      const group = own.get(this.groupOf[i]!);
      if (group !== undefined) this.stockOf(i, group.sheet);
    }
    return [...own.values()];
  }

  /**
   * Trees, basal area and board feet by species and diameter class, an acre; where no plot has a size, sums of the trees
   * told (`perAcre` false). Live trees unless the scope says otherwise.
   */
  stockTable(
    scope: TotalsScope = {},
    widthIn = 2,
  ): { readonly perAcre: boolean; readonly rows: readonly StockRow[] } {
    if (!Number.isInteger(widthIn) || widthIn < 1)
      throw new RangeError(`class width must be whole inches, found ${widthIn}`);
    const groups = this.#stocked(scope);
    const frame = this.frameOf(groups, scope.plot !== undefined);
    const perAcre = frame.domains.length > 0;
    const weights = perAcre ? weightsOf(frame) : unweighted(frame.loose);
    const species = [...this.numbering.allSpecies()].filter(
      ([code]) => scope.species === undefined || scope.species === code,
    );
    const status = scope.status ?? 'live';
    return {
      perAcre,
      rows: stockRows(weights, species, status === 'all' ? 3 : liveDeadCull.indexOf(status), widthIn),
    };
  }

  /** The tallest measured, or thickest, tree of the scope; of any status unless the scope names one. Null when there is none. */
  foremostTree(by: 'tallest' | 'thickest', scope: TotalsScope = {}): TreeRecord | null {
    const size = (tree: TreeRecord): number => (by === 'tallest' ? tree.heightFt : tree.diameterIn) ?? 0;
    const status = scope.status ?? 'all';
    const wanted = scope.species === undefined ? null : this.numbering.knownSpecies(scope.species);
    const fits = (species: number, of: number): boolean =>
      (wanted === null || species === wanted) && (status === 'all' || liveDeadCull[of] === status);
    const found: TreeRecord[] = [];
    if (scope.plot !== undefined) {
      const plot = this.indexOfPlot(scope.plot);
      if (plot !== undefined) found.push(...this.foremost.ofPlot(plot, by, fits));
    } else if (scope.day !== undefined || scope.person !== undefined) {
      const groups = new Set(this.groupsIn(scope));
      for (let plot = 0; plot < this.plotIds.length; plot++) {
        if (groups.has(this.groupOf[plot]!)) found.push(...this.foremost.ofPlot(plot, by, fits));
      }
    } else {
      for (const sheet of new Set(this.groupsIn(scope).map((group) => group.sheet))) {
        for (const key of Object.keys(sheet[by]).map(Number)) {
          const tree = fits(Math.floor(key / 4), key % 4)
            ? this.foremost.ofSheet(sheet, key, by, (plot) => this.groupOf[plot]!.sheet === sheet)
            : null;
          if (tree !== null) found.push(tree);
        }
      }
    }
    let best: TreeRecord | null = null;
    for (const tree of found) {
      const ahead = best === null ? 1 : size(tree) - size(best) || best.number - tree.number;
      if (ahead > 0) best = tree;
    }
    return best;
  }

  /** How much the sampled plots of the scope differ: null below two plots. */
  spread(quantity: Quantity, scope: TotalsScope = {}): ReturnType<typeof frameSpread> {
    if (quantity === 'cubic') this.refill();
    const [measure, scale] = this.#measureOf(quantity);
    const frame = this.frameOf(this.groupsIn(scope), scope.plot !== undefined);
    return frameSpread(frame, this.keyOf(scope, scope.status ?? 'live'), measure, scale);
  }

  /**
   * Plots needed in all, and how many more, for a sampling error in percent of live basal area (or another quantity) at the
   * spread seen so far, all plots of the scope as one sample. Nulls with a sentence below two plots.
   */
  plotsNeeded(errorPct: number, scope: TotalsScope = {}, quantity: Quantity = 'basalArea'): PlotsNeeded {
    const spread = this.spread(quantity, scope);
    const n = spread?.n ?? this.frameOf(this.groupsIn(scope), false).plots;
    const refuse = (sentence: string): PlotsNeeded => ({
      more: null,
      needed: null,
      n,
      cvPct: spread?.cvPct ?? null,
      sentence,
    });
    if (!(errorPct > 0)) return refuse(`An error above 0 percent is needed, not ${errorPct}.`);
    if (spread === null) {
      return refuse(
        n === 1
          ? 'One plot shows no spread: measure a second one first.'
          : 'At least two sample plots with a size are needed first.',
      );
    }
    if (spread.cvPct === null) return refuse('The plots hold none of it, so there is no spread to go by.');
    const { cvPct } = spread;
    const populationSize = Math.max(2, Math.floor(spread.populationSize));
    const needed = plotsNeeded({ cvPct, errorPct, confidence: this.confidence, populationSize });
    const few = n < 5 ? ` ${n} plots say little; ask again after five.` : '';
    const sentence = `Plots differ by ${Math.round(cvPct)} percent.${few}`;
    return { more: Math.max(0, needed - n), needed, n, cvPct, sentence };
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

  #answer(of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>): Estimate {
    return {
      se: null,
      df: 0,
      low: null,
      high: null,
      samplingErrorPct: null,
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
