/** Mean sizes: heights and diameters of the trees of a scope, by ratio over plots, or tree by tree where there are no plots. */
import type { SumColumn } from './cells.ts';
import { basalAreaFactor } from './cubic.ts';
import type { Ledger } from './ledger.ts';
import { type Group, type PairName, pairs } from './plot-sums.ts';
import { type AreaScale, confidenceLimits, frameRatio, noScale } from './sampling-frame.ts';
import { expanding, type Selection, sumOf } from './selection.ts';
import { type Estimate, estimateOf, type TotalsScope } from './types.ts';

export class Means {
  constructor(
    private readonly ledger: Ledger,
    private readonly selection: Selection,
    /** Confidence of the limits, in (0, 1). */
    private readonly confidence: number,
  ) {}

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
    return { ...squared, value, se, ...confidenceLimits(value, se, squared.df, this.confidence) };
  }

  #ratio(pair: PairName, scope: TotalsScope, of: RatioOf): Estimate {
    if (of.filled) this.ledger.refill();
    const key = this.selection.keyOf(scope, scope.status ?? 'live');
    const groups = this.selection.groupsIn(scope);
    const frame = this.selection.frameOf(groups, scope.plot !== undefined);
    // A full tally needs no area for a mean.
    const sampled = frame.domains.some((domain) => !domain.census);
    const used = sampled ? frame : { ...frame, weighted: true };
    const found = frameRatio(used, key, pair, topScale(pair), bottomScale(pair));
    const on = found === null ? groups : expanding(frame);
    const measured = sumOf(on, key, of.count);
    const filled = of.filled ? sumOf(on, key, 'filled') : 0;
    const missing = sumOf(on, key, 'n') - measured - filled;
    const leftOut =
      missing > 0
        ? [
            `${missing === 1 ? '1 tree has' : `${missing} trees have`} no ${of.missing} and ${missing === 1 ? 'is' : 'are'} left out.`,
          ]
        : [];
    const assumed =
      filled > 0
        ? [`${filled === 1 ? '1 height was' : `${filled} heights were`} filled from the curve.`]
        : [];
    const base = { unit: of.unit, trees: measured + filled, filled, assumed, leftOut };
    if (measured + filled === 0) {
      return this.#estimate({
        ...base,
        value: null,
        leftOut: [...leftOut, `No ${of.missing} has been measured here.`],
      });
    }
    if (found === null) return this.#ratioOfTrees(pair, key, frame.loose, base, of);
    const off = sumOf(frame.loose, key, of.count);
    if (off > 0) {
      leftOut.push(
        `${off === 1 ? '1 tree on no plot of known size is' : `${off} trees on no plot of known size are`} left out.`,
      );
    }
    const { ratio: value, se, df, n } = found;
    const limits = confidenceLimits(value, se, df, this.confidence);
    return this.#estimate({ ...base, value, se, df, plots: n, ...limits });
  }

  /** Trees on no plot: every tree counts alike. */
  #ratioOfTrees(
    pair: PairName,
    key: number,
    loose: readonly Group[],
    base: Pick<Estimate, 'unit' | 'trees' | 'filled' | 'assumed' | 'leftOut'>,
    { missing, square }: RatioOf,
  ): Estimate {
    const [y, x] = pairs[pair];
    let sum = 0;
    let weight = 0;
    let squares = 0;
    for (const group of loose) {
      sum += group.first(key, y) * topScale(pair).area;
      weight += group.first(key, x) * bottomScale(pair).area;
      if (square !== undefined) squares += group.sum(key, square);
    }
    if (!(weight > 0)) {
      const leftOut = [...base.leftOut, `No ${missing} here has a weight: diameters are missing.`];
      return this.#estimate({ ...base, value: null, leftOut });
    }
    const value = sum / weight;
    if (square === undefined || weight <= 1) return this.#estimate({ ...base, value });
    const se = Math.sqrt(Math.max(0, squares - weight * value * value) / (weight - 1) / weight);
    const df = weight - 1;
    const assumed = [...base.assumed, 'The trees are taken as a random sample.'];
    const limits = confidenceLimits(value, se, df, this.confidence);
    return this.#estimate({ ...base, assumed, value, se, df, ...limits });
  }

  #estimate(of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>): Estimate {
    return estimateOf(this.confidence, of);
  }
}

/** Basal area from the sums of squared diameters; at a gauge a tree is one share of it already. */
const basalArea: AreaScale = { area: basalAreaFactor, gauge: 1 };
/** Squared diameters; at a gauge from the shares. */
const squaredDiameter: AreaScale = { area: 1, gauge: 1 / basalAreaFactor };

const topScale = (pair: PairName): AreaScale =>
  pair === 'lorey' ? basalArea : pair === 'squareDiameter' ? squaredDiameter : noScale;
const bottomScale = (pair: PairName): AreaScale => (pair === 'lorey' ? basalArea : noScale);

/** How a mean is asked: its unit, the column that counts its trees, what those lack that are left out. */
interface RatioOf {
  readonly unit: 'ft' | 'in';
  readonly count: SumColumn;
  readonly missing: string;
  /** Sums of the squares, for the error where there are no plots. */
  readonly square?: SumColumn;
  /** Whether the curve stands in for missing heights. */
  readonly filled?: true;
}
