/**
 * Totals of a book: trees, plots, basal area, density, volume, biomass, carbon, mean sizes, each with its error and what was
 * left out. Answers come from the moments over plots that the ledger keeps; no question looks at the trees.
 */
import { centimetresPerInch, type Units } from '../core/units.ts';
import type { LogRule } from '../note/log-rules.ts';
import type { Status } from '../note/note.ts';
import { carbonFractions, poundsPerKg } from './biomass.ts';
import { type BookWarning, bookWarnings, type PlotSeen } from './book-doubts.ts';
import { basalAreaFactor, compositeFormFactor } from './cubic.ts';
import { Ledger, type LedgerSettings } from './ledger.ts';
import { Means } from './means.ts';
import { type PlotsNeeded, planPlots } from './planning.ts';
import { expandsBy, type Group, halfCentimetre, halfInch, type MeasureName } from './plot-sums.ts';
import {
  type Missing,
  missingFrom,
  sentences,
  sourcesOf,
  type TotalsQuantity,
  unitOf,
} from './provenance.ts';
import {
  type AreaScale,
  confidenceLimits,
  domainSpreads,
  frameMean,
  frameSpread,
  frameValue,
  hasUnsureArea,
  mixesDesigns,
  noScale,
  type SamplingFrame,
} from './sampling-frame.ts';
import { expanding, Selection, sumOf } from './selection.ts';
import { type StockRow, stockRows, topHeightOf, unweighted, weightsOf } from './stock.ts';
import { type TreeValues, valuesOfTree } from './tree-values.ts';
import { type Estimate, estimateOf, type TotalsScope, type TreeRecord } from './types.ts';

export type { BookWarning } from './book-doubts.ts';
export type { PlotsNeeded } from './planning.ts';
export type { TotalsQuantity } from './provenance.ts';
export type { StockRow } from './stock.ts';
export type { TreeValues } from './tree-values.ts';
export type { Estimate, TotalsScope } from './types.ts';

interface TotalsSettings extends LedgerSettings {
  /** Confidence of the limits, in (0, 1); 0.95 where missing. */
  readonly confidence?: number;
  /** Carbon in dry wood; the general 0.47 where missing. */
  readonly carbon?: keyof typeof carbonFractions;
  /** Cubic volume as a share of basal area times height; the composite 0.42 where missing. */
  readonly formFactor?: number;
}

const liveDeadCull: readonly Status[] = ['live', 'dead', 'cull'];
/** Which statuses as they were said a question takes in: a cull is a standing live tree. */
const saidOf: Readonly<Record<Status | 'all', readonly Status[]>> = {
  live: ['live', 'cull'],
  dead: ['dead'],
  cull: ['cull'],
  all: liveDeadCull,
};

/** The part of a value by status, the culls apart from the other live trees; `of` gives the live with them. */
function partsOf(of: (status: Status) => number): Record<Status, number> {
  const cull = of('cull');
  return { live: of('live') - cull, dead: of('dead'), cull };
}

/** What those of a status come to. */
const wholeOf = (parts: Readonly<Record<Status, number>>, status: Status | 'all'): number =>
  saidOf[status].reduce((sum, said) => sum + parts[said], 0);

/** What is taken for granted where plots that differ are taken together. */
const pooling = (frame: SamplingFrame): string[] => [
  ...(!frame.weighted && frame.domains.length > 1
    ? ['Not every stand or stratum has an area, so all plots count alike.']
    : []),
  ...(mixesDesigns(frame)
    ? [
        'Plots of a size and points of an angle gauge are pooled: each counts as one plot, whatever it sees of the stand.',
      ]
    : []),
];

/** Questions about a book. What is counted is put into the `ledger`; a question never changes it. */
export class Totals {
  /** Trees, plots, stands and strata go in and out here. */
  readonly ledger: Ledger;
  readonly #selection: Selection;
  readonly #means: Means;
  readonly #confidence: number;
  readonly #carbon: keyof typeof carbonFractions;
  readonly #formFactor: number;

  /** Of a ledger that is filled elsewhere, or of one of its own. */
  constructor(settings: TotalsSettings = {}, ledger = new Ledger(settings)) {
    this.#confidence = settings.confidence ?? 0.95;
    this.#carbon = settings.carbon ?? 'general';
    this.#formFactor = settings.formFactor ?? compositeFormFactor;
    this.ledger = ledger;
    this.#selection = new Selection(this.ledger);
    this.#means = new Means(this.ledger, this.#selection, this.#confidence);
  }

  #estimate(of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>): Estimate {
    return estimateOf(this.#confidence, of);
  }

  /** How many trees were told; borderline trees found out do not count. All statuses unless the scope names one. */
  trees(scope: TotalsScope = {}): Estimate {
    const byTree =
      (scope.day !== undefined || scope.person !== undefined) &&
      scope.plot === undefined &&
      scope.design === undefined &&
      scope.stratum === undefined;
    const person = scope.person === undefined ? undefined : this.ledger.interning.person(scope.person);
    const groups = byTree ? [] : this.#selection.groupsIn(scope);
    const told = (status: Status): number =>
      this.ledger.registers.sum(this.#selection.keyOf(scope, status), {
        ...(scope.stand === undefined ? {} : { stand: scope.stand }),
        ...(scope.day === undefined ? {} : { day: scope.day }),
        person,
      });
    const byStatus = byTree
      ? { live: told('live'), dead: told('dead'), cull: told('cull') }
      : partsOf((status) => sumOf(groups, this.#selection.keyOf(scope, status), 'n'));
    const value = wholeOf(byStatus, scope.status ?? 'all');
    return this.#estimate({ value, unit: 'trees', se: 0, trees: value, byStatus });
  }

  /** Basal area of an acre as one plot has it, ft2, as `basalArea` says it: without its error, for lists of many plots. */
  basalAreaOnPlot(id: string): number | null {
    const plot = this.ledger.indexOfPlot(id);
    if (plot === undefined || !this.ledger.counts(plot)) return null;
    const { kind, expansion, gauge } = this.ledger.groupOf[plot]!;
    if (kind !== expandsBy.area && kind !== expandsBy.factor) return this.basalArea({ plot: id }).value;
    return gauge
      ? expansion * this.ledger.sumOn(plot, 'n', 'live')
      : expansion * basalAreaFactor * this.ledger.sumOn(plot, 'dd', 'live');
  }

  /** How many plots count: those with trees, and closed or empty ones. */
  plots(scope: TotalsScope = {}): Estimate {
    let value = 0;
    let waiting = 0;
    for (const group of this.#selection.groupsIn(scope)) {
      value += group.plots;
      waiting += group.waiting;
    }
    const leftOut =
      waiting > 0
        ? [`${waiting === 1 ? '1 plot is' : `${waiting} plots are`} open and without trees yet.`]
        : [];
    return this.#estimate({ value, unit: 'plots', se: 0, plots: value, leftOut });
  }

  /** Value of an acre, over the plots of the scope. Live trees unless the scope says otherwise. */
  perAcre(quantity: TotalsQuantity, scope: TotalsScope = {}): Estimate {
    return this.#additive(quantity, scope, false);
  }

  /**
   * Value of the whole area of the scope's stands: needs their areas where plots were sampled. Without any plot of known
   * size it is the sum of the trees themselves, and says so.
   */
  total(quantity: TotalsQuantity, scope: TotalsScope = {}): Estimate {
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

  /** Mean height of measured live trees, weighted to the acre on plots. `filled`: the curve stands in for missing ones. */
  meanHeight(scope: TotalsScope = {}, options: { readonly filled?: boolean } = {}): Estimate {
    return this.#means.meanHeight(scope, options);
  }
  /** Lorey's height, feet: mean weighted by basal area; missing heights are filled from the curve. */
  loreyHeight(scope: TotalsScope = {}): Estimate {
    return this.#means.loreyHeight(scope);
  }
  meanDiameter(scope: TotalsScope = {}): Estimate {
    return this.#means.meanDiameter(scope);
  }
  /** Quadratic mean diameter, inches: the diameter of the tree of mean basal area. */
  quadraticDiameter(scope: TotalsScope = {}): Estimate {
    return this.#means.quadraticDiameter(scope);
  }

  /** The measure behind a quantity and the factors to its unit. */
  #measureOf(quantity: TotalsQuantity): readonly [MeasureName, AreaScale] {
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

  #additive(quantity: TotalsQuantity, scope: TotalsScope, whole: boolean): Estimate {
    if (quantity === 'cubic') this.ledger.refill();
    const [measure, scale] = this.#measureOf(quantity);
    const status = scope.status ?? 'live';
    const key = this.#selection.keyOf(scope, status);
    const frame = this.#selection.frameOf(this.#selection.groupsIn(scope), scope.plot !== undefined);
    const sampled = frame.domains.some((domain) => !domain.census);
    const missing = missingFrom(quantity, frame.domains.length > 0 ? expanding(frame) : frame.loose, key);
    const off = frame.domains.length > 0 ? sumOf(frame.loose, key, 'n') : 0;
    const told = sentences(quantity, missing, off, {
      formClass: this.ledger.formClass,
      carbon: this.#carbon,
      curve: this.ledger.hasCurve,
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
      this.#estimate({ ...base, value: null, leftOut: [...told.leftOut, sentence] });
    if (frame.domains.length === 0) {
      if (whole && missing.all > 0)
        return this.#sumOfTrees(quantity, scope, frame.loose, missing, { ...base, leftOut: told.leftOut });
      return refuse('No plot with a size counts here yet, so there is no value by area.');
    }
    if (!sampled && !frame.weighted && !whole) {
      return refuse('Every tree was measured, but an area is missing, so there is no value by area.');
    }
    if (whole && sampled && frame.acres === null) {
      return refuse('An area is missing, so there is no total.');
    }
    const assumed = [...told.assumed, ...pooling(frame)];
    const leftOut = [...told.leftOut];
    if (missing.all === 0 && frame.plots > 0) leftOut.push('No such tree stands on these plots.');
    // A full tally without an area: its total is the sum over an acre of one.
    const used = frame.weighted || sampled ? frame : { ...frame, weighted: true };
    const found = frameMean(used, key, measure, scale, whole);
    if (found === null) return refuse('No plot counts here yet.');
    let acres = 1;
    if (whole) acres = used.domains.reduce((sum, domain) => sum + (domain.acres ?? 1), 0);
    const byStatus = partsOf(
      (each) => acres * frameValue(used, this.#selection.keyOf(scope, each), measure, scale),
    );
    const { mean: value, se } = found;
    if (whole && se !== null && used.domains.some(hasUnsureArea))
      assumed.push('The give-or-take has that of the area in it.');
    if (se === null && found.n > 1)
      leftOut.push('A stand or stratum has one plot only, so there is no error yet.');
    const within = confidenceLimits(value, se, found.df, this.#confidence);
    return this.#estimate({ ...base, value, se, df: found.df, ...within, byStatus, leftOut, assumed });
  }

  /** The sum of single trees, where there is no plot to expand from. */
  #sumOfTrees(
    quantity: TotalsQuantity,
    scope: TotalsScope,
    loose: readonly Group[],
    missing: Missing,
    base: Pick<Estimate, 'unit' | 'trees' | 'filled' | 'assumed' | 'sources' | 'leftOut'>,
  ): Estimate {
    const [measure, scale] = this.#measureOf(quantity);
    const byStatus = partsOf((status) => {
      const key = this.#selection.keyOf(scope, status);
      return loose.reduce((sum, group) => sum + scale.area * group.first(key, measure), 0);
    });
    const value = wholeOf(byStatus, scope.status ?? 'live');
    if (missing.used === 0) return this.#estimate({ ...base, value: null });
    const them = missing.used === 1 ? 'the tree itself' : `the ${missing.used} trees themselves`;
    const assumed = [...base.assumed, `No plot of known size: this is ${them}.`];
    return this.#estimate({ ...base, value, se: 0, byStatus, assumed });
  }

  /** Top height: mean height of the thickest 100 trees a hectare (40.5 an acre), from measured live trees on plots. */
  topHeight(scope: TotalsScope = {}): Estimate {
    const frame = this.#selection.frameOf(this.#stocked(scope), scope.plot !== undefined);
    const status = scope.status ?? 'live';
    const keys: number[] = [];
    for (const [code, number] of this.ledger.interning.allSpecies()) {
      if (scope.species !== undefined && scope.species !== code) continue;
      for (const each of saidOf[status]) {
        keys.push(number * 4 + liveDeadCull.indexOf(each));
      }
    }
    const leftOut: string[] = [];
    const perAcre = frame.weighted || frame.domains.some((domain) => !domain.census);
    const found = perAcre ? topHeightOf(weightsOf(frame), keys) : { feet: null, reached: false, trees: 0 };
    if (!perAcre)
      leftOut.push('Top height needs plots with a size, or a full tally of a stand with an area.');
    else if (found.feet === null) leftOut.push('None of the thickest trees has a measured height.');
    else if (!found.reached)
      leftOut.push('There are fewer trees than top height takes, 100 a hectare: all of them count.');
    return this.#estimate({
      value: found.feet,
      unit: 'ft',
      plots: frame.plots,
      trees: found.trees,
      leftOut,
      sources: ['mean height of the thickest 100 trees a hectare (common practice, no source)'],
    });
  }

  /** Groups with their classes: kept ones, or for a plot, a day or a person made from the trees of those plots. */
  #stocked(scope: TotalsScope, stepIn = halfInch): Group[] {
    const groups = this.#selection.groupsIn(scope);
    const plot = scope.plot === undefined ? undefined : this.ledger.indexOfPlot(scope.plot);
    if (plot !== undefined) {
      const alone = groups.map((group) => group.withOwnSheet(stepIn));
      for (const { sheet } of alone) this.ledger.stockOf(plot, sheet);
      return alone;
    }
    if (stepIn === halfInch && scope.day === undefined && scope.person === undefined) return groups;
    const own = new Map(groups.map((group) => [group, group.withOwnSheet(stepIn)]));
    for (let i = 0; i < this.ledger.plotIds.length; i++) {
      const group = own.get(this.ledger.groupOf[i]!);
      if (group !== undefined) this.ledger.stockOf(i, group.sheet);
    }
    return [...own.values()];
  }

  /**
   * Trees, basal area and board feet by species and diameter class, an acre; where no plot has a size, sums of the trees
   * told (`perAcre` false). Live trees unless the scope says otherwise. Classes are of so many whole inches, or centimetres.
   */
  stockTable(
    scope: TotalsScope = {},
    width: number | { readonly cm: number } = 2,
  ): { readonly perAcre: boolean; readonly rows: readonly StockRow[] } {
    const whole = typeof width === 'number' ? width : width.cm;
    if (!Number.isInteger(whole) || whole < 1)
      throw new RangeError(`class width must be a whole number, found ${whole}`);
    const [widthIn, stepIn] =
      typeof width === 'number' ? [width, halfInch] : [whole / centimetresPerInch, halfCentimetre];
    const groups = this.#stocked(scope, stepIn);
    const frame = this.#selection.frameOf(groups, scope.plot !== undefined);
    const perAcre = frame.weighted || frame.domains.some((domain) => !domain.census);
    const weights = perAcre
      ? weightsOf(frame)
      : unweighted(frame.domains.length > 0 ? expanding(frame) : frame.loose);
    const species = [...this.ledger.interning.allSpecies()].filter(
      ([code]) => scope.species === undefined || scope.species === code,
    );
    const status = scope.status ?? 'live';
    return {
      perAcre,
      rows: stockRows(
        weights,
        species,
        saidOf[status].map((said) => liveDeadCull.indexOf(said)),
        { widthIn, stepIn },
      ),
    };
  }

  /** What a tree of the book comes to by itself, board feet by a rule; see `valuesOfTree`. */
  valuesOf(tree: TreeRecord, rule: LogRule): TreeValues {
    this.ledger.refill();
    const plot = tree.plot === null ? undefined : this.ledger.indexOfPlot(tree.plot);
    return valuesOfTree(tree, plot === undefined ? null : (this.ledger.plotRecords[plot] ?? null), {
      rule,
      formClass: this.ledger.formClass,
      formFactor: this.#formFactor,
      curveFt: (of) => this.ledger.curveHeight(of),
    });
  }

  /** The tallest measured, or thickest, tree of the scope; of any status unless the scope names one. Null when there is none. */
  foremostTree(by: 'tallest' | 'thickest', scope: TotalsScope = {}): TreeRecord | null {
    const size = (tree: TreeRecord): number => (by === 'tallest' ? tree.heightFt : tree.diameterIn) ?? 0;
    const status = scope.status ?? 'all';
    const wanted = scope.species === undefined ? null : this.ledger.interning.knownSpecies(scope.species);
    const fits = (species: number, of: number): boolean =>
      (wanted === null || species === wanted) && saidOf[status].includes(liveDeadCull[of]!);
    let best: TreeRecord | null = null;
    for (const tree of this.#foremost(by, scope, fits)) {
      const ahead = best === null ? 1 : size(tree) - size(best) || best.number - tree.number;
      if (ahead > 0) best = tree;
    }
    return best;
  }

  /** The foremost trees of the parts of a scope: of its plots where it names some of them, else of whole sheets. */
  *#foremost(
    by: 'tallest' | 'thickest',
    scope: TotalsScope,
    fits: (species: number, status: number) => boolean,
  ): Generator<TreeRecord> {
    const { extremes, groupOf, plotIds } = this.ledger;
    if (scope.plot !== undefined) {
      const plot = this.ledger.indexOfPlot(scope.plot);
      if (plot !== undefined) yield* extremes.ofPlot(plot, by, fits);
      return;
    }
    const groups = new Set(this.#selection.groupsIn(scope));
    if (scope.day !== undefined || scope.person !== undefined) {
      for (let plot = 0; plot < plotIds.length; plot++) {
        if (groups.has(groupOf[plot]!)) yield* extremes.ofPlot(plot, by, fits);
      }
      return;
    }
    for (const sheet of new Set([...groups].map((group) => group.sheet))) {
      for (const key of Object.keys(sheet[by]).map(Number)) {
        if (!fits(Math.floor(key / 4), key % 4)) continue;
        const tree = extremes.ofSheet(sheet, key, by, (plot) => groupOf[plot]!.sheet === sheet);
        if (tree !== null) yield tree;
      }
    }
  }

  /** How much the sampled plots of the scope differ: null below two plots. */
  spread(quantity: TotalsQuantity, scope: TotalsScope = {}): ReturnType<typeof frameSpread> {
    if (quantity === 'cubic') this.ledger.refill();
    const [measure, scale] = this.#measureOf(quantity);
    const frame = this.#selection.frameOf(this.#selection.groupsIn(scope), scope.plot !== undefined);
    return frameSpread(frame, this.#selection.keyOf(scope, scope.status ?? 'live'), measure, scale);
  }

  /**
   * Plots needed in all, and how many more, for a sampling error in percent of live basal area (or another quantity) at the
   * spread seen so far; see `planPlots`. Nulls with a sentence below two plots.
   */
  plotsNeeded(
    errorPct: number,
    scope: TotalsScope = {},
    quantity: TotalsQuantity = 'basalArea',
  ): PlotsNeeded {
    if (quantity === 'cubic') this.ledger.refill();
    const [measure, scale] = this.#measureOf(quantity);
    const frame = this.#selection.frameOf(this.#selection.groupsIn(scope), scope.plot !== undefined);
    const key = this.#selection.keyOf(scope, scope.status ?? 'live');
    return planPlots({
      errorPct,
      confidence: this.#confidence,
      n: frame.plots,
      spread: frameSpread(frame, key, measure, scale),
      strata: domainSpreads(frame, key, measure, scale),
      nameOf: (place) => this.#selection.nameOf(place),
    });
  }

  /** What in the book would make its totals wrong; see `book-doubts.ts`. Looks at plots, not at trees. */
  bookDoubts(units: Units = 'feet'): BookWarning[] {
    let singles = 0;
    const plots: PlotSeen[] = [];
    for (let plot = 0; plot < this.ledger.plotIds.length; plot++) {
      const id = this.ledger.plotIds[plot]!;
      if (id.startsWith('\0')) singles += this.ledger.plotTrees[plot]!;
      else plots.push({ id, record: this.ledger.plotRecords[plot], trees: this.ledger.plotTrees[plot]! });
    }
    // In one order, whichever came first here.
    const timeOf = ({ record }: PlotSeen): number => record?.time ?? 0;
    plots.sort((a, b) => timeOf(a) - timeOf(b) || (a.id < b.id ? -1 : 1));
    return bookWarnings(
      {
        plots,
        singles,
        stands: [...this.ledger.stands.values()],
        strata: [...this.ledger.strata.values()],
      },
      units,
    );
  }
}
