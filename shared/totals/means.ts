/** Mean sizes: heights and diameters of the trees of a scope, by ratio over plots, or tree by tree where there are no plots. */
import type { SumColumn } from './cells.ts';
import { basalAreaFactor } from './cubic.ts';
import type { LedgerSettings } from './ledger.ts';
import { type PairName, pairs } from './plot-sums.ts';
import { type AreaScale, confidenceLimits, frameRatio, noScale } from './sampling-frame.ts';
import { expanding, Selection } from './selection.ts';
import type { Estimate, TotalsScope } from './types.ts';

export class Means extends Selection {
  /** Confidence of the limits, in (0, 1). */
  readonly confidence: number;

  constructor(settings: LedgerSettings, confidence: number) {
    super(settings);
    this.confidence = confidence;
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
    return { ...squared, value, se, ...confidenceLimits(value, se, squared.df, this.confidence) };
  }

  #ratio(
    pair: PairName,
    scope: TotalsScope,
    of: { unit: 'ft' | 'in'; count: SumColumn; missing: string; square?: SumColumn; filled?: true },
  ): Estimate {
    if (of.filled) this.refill();
    const status = scope.status ?? 'live';
    const key = this.keyOf(scope, status);
    const groups = this.groupsIn(scope);
    const frame = this.frameOf(groups, scope.plot !== undefined);
    const area: AreaScale = { area: basalAreaFactor, gauge: 1 };
    const square: AreaScale = { area: 1, gauge: 1 / basalAreaFactor };
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
      return this.answer({
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
      return this.answer({
        ...base,
        value,
        se,
        df,
        plots: n,
        leftOut,
        ...confidenceLimits(value, se, df, this.confidence),
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
      return this.answer({
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
    return this.answer({
      ...base,
      value,
      se,
      df,
      leftOut,
      ...confidenceLimits(value, se, df, this.confidence),
    });
  }

  /** An answer with its gaps filled in. */
  protected answer(of: Partial<Estimate> & Pick<Estimate, 'value' | 'unit'>): Estimate {
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
