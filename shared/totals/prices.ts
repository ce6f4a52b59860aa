/**
 * What the wood is worth by prices that somebody said: per thousand board feet by a rule, per cord, ton, tonne, cubic metre
 * or hundred cubic feet, by species and product. An estimate, not an appraisal: the error is that of the volume, of its area
 * and of turning cubic feet into cords and tons; the prices are taken as they were said.
 */
import { metresPerFoot } from '../core/units.ts';
import type { PriceUnit, Product } from '../note/land-words.ts';
import type { LogRule } from '../note/log-rules.ts';
import { basalAreaFactor, compositeFormFactor } from './cubic.ts';
import { expandsBy, type Group, type MeasureName } from './plot-sums.ts';
import { type AreaScale, confidenceLimits, frameMeanOf, noScale } from './sampling-frame.ts';
import { Selection } from './selection.ts';
import type { Totals } from './totals.ts';
import type { SpeciesKey, TotalsScope } from './types.ts';

/** A price as it was said. */
export interface Price {
  /** FIA codes; empty: all wood that no other price of its product is for. */
  readonly species: readonly number[];
  readonly product: Product | null;
  readonly dollars: number;
  readonly per: PriceUnit;
  /** For a thousand board feet; null: the rule in force. */
  readonly rule: LogRule | null;
}

interface SoldBy {
  /** Units in a board foot (of the price's rule) or in a cubic foot of the whole stem. */
  readonly of: 'board feet' | 'cubic feet';
  readonly each: number;
  /** How far the conversion may be off, a part: the same way for all of the wood. */
  readonly part: number;
  readonly assumed: string | null;
}

/** Solid wood and bark in a cord of 128 stacked cubic feet, and green weight of a cubic foot: common practice, no source. */
const solidInCord = 85;
const greenPounds = 58;
const poundsPerTonne = 1000 / 0.45359237;

const weighed = `${greenPounds} pounds a cubic foot, green, give or take a tenth`;
const soldBy = {
  thousand: { of: 'board feet', each: 1 / 1000, part: 0, assumed: null },
  cord: {
    of: 'cubic feet',
    each: 1 / solidInCord,
    part: 0.06,
    assumed: `${solidInCord} cubic feet of wood and bark in a cord of 128, give or take 5 (common practice, no source).`,
  },
  ton: {
    of: 'cubic feet',
    each: greenPounds / 2000,
    part: 0.1,
    assumed: `Tons of 2,000 pounds, ${weighed} (common practice, no source).`,
  },
  tonne: {
    of: 'cubic feet',
    each: greenPounds / poundsPerTonne,
    part: 0.1,
    assumed: `Tonnes of 1,000 kilograms, ${weighed} (common practice, no source).`,
  },
  cubicMetre: { of: 'cubic feet', each: metresPerFoot ** 3, part: 0, assumed: null },
  cunit: { of: 'cubic feet', each: 1 / 100, part: 0, assumed: null },
} as const satisfies Record<PriceUnit, SoldBy>;

/** What one price comes to. */
interface WorthLine {
  readonly price: Price;
  readonly rule: LogRule | null;
  /** In the price's unit. */
  readonly volume: number;
  readonly dollars: number;
  readonly se: number | null;
  /** False where the same trees are worth more as something else, so that it is not in the sum. */
  readonly counted: boolean;
}

export interface Worth {
  /** Dollars of the whole area, of live trees; null with sentences in `leftOut` where nothing can be reckoned. */
  readonly value: number | null;
  readonly se: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly df: number;
  readonly plots: number;
  readonly lines: readonly WorthLine[];
  readonly assumed: readonly string[];
  readonly leftOut: readonly string[];
}

export const noAppraisal = 'An estimate, not an appraisal.';

interface WorthSettings {
  readonly rule: LogRule;
  readonly confidence?: number;
}

/** What a price is for, in the trees of one species: its key among the sums, and what a unit of the sum is worth. */
interface Valued {
  readonly key: number;
  readonly measure: MeasureName;
  readonly scale: AreaScale;
  /** Units of the price for one of the measure's, and dollars. */
  readonly each: number;
}

const cubicScale: AreaScale = { area: compositeFormFactor * basalAreaFactor, gauge: compositeFormFactor };

/**
 * What the wood of a scope is worth. Each species goes by the price that names it, else by the one for all wood; a price said
 * later takes the place of an earlier one for the same. Where a species has prices as several products its trees are counted
 * as the one that they are worth most as, since a tree is sold once. The error comes from the worth of each plot, so what
 * species share is in it.
 */
export function worthOf(
  totals: Totals,
  prices: readonly Price[],
  scope: TotalsScope,
  { rule, confidence = 0.95 }: WorthSettings,
): Worth {
  const { ledger } = totals;
  ledger.refill();
  const selection = new Selection(ledger);
  const groups = selection.groupsIn(scope);
  const frame = selection.frameOf(groups, scope.plot !== undefined);
  const held = [...ledger.interning.allSpecies()].filter(
    ([species]) =>
      (scope.species === undefined || scope.species === species) &&
      groups.some((group) => group.sum(selection.keyOf({ ...scope, species }, 'live'), 'n') > 0),
  );
  const { byPrice, unpriced } = pricesOf(prices, held, rule);
  const leftOut =
    unpriced > 0 && prices.length > 0
      ? [`${unpriced === 1 ? '1 species has' : `${unpriced} species have`} no price.`]
      : [];
  const nothing = (sentence: string): Worth => ({
    ...{ value: null, se: null, low: null, high: null, df: 0, plots: frame.plots, lines: [], assumed: [] },
    leftOut: [...leftOut, sentence],
  });
  if (prices.length === 0) return nothing('No price was said.');
  if (byPrice.size === 0) return nothing('No tree here has a price.');
  if (frame.domains.length === 0) return nothing('No plot with a size counts here yet.');
  if (frame.domains.some(({ census }) => !census) && frame.acres === null)
    return nothing('An area is missing, so there is no value of the whole.');
  const used = { ...frame, weighted: true };
  const plots = plotsIn(
    totals,
    groups,
    used.domains.flatMap((domain) => [...domain.groups]),
  );
  const sum = (valued: readonly Valued[]) => frameMeanOf(used, noScale, sumsOver(plots, valued), true);
  const found = [...byPrice].map(([price, valued]) => {
    const each = valued.map((one) => ({ ...one, each: one.each * price.dollars }));
    return { price, units: sum(valued), worth: sum(each), each };
  });
  const counted = dearest(
    found.map(({ each }) => each),
    (valued) => sum([valued])?.mean ?? 0,
  );
  const all = sum(counted);
  if (all === null) return nothing('No plot counts here yet.');
  // Conversions err the same way for all wood sold in them.
  let conversion = 0;
  for (const per of new Set(found.map(({ price }) => price.per))) {
    const dollars = sum(
      counted.filter((one) => found.some(({ price, each }) => price.per === per && each.includes(one))),
    );
    conversion += (soldBy[per].part * (dollars?.mean ?? 0)) ** 2;
  }
  const se = all.se === null ? null : Math.sqrt(all.se ** 2 + conversion);
  const df = all.se === null || se === null || all.se === 0 ? all.df : all.df * (se / all.se) ** 4;
  const lines = found.map(({ price, units, worth, each }): WorthLine => {
    const part = soldBy[price.per].part * (worth?.mean ?? 0);
    return {
      price,
      rule: soldBy[price.per].of === 'board feet' ? (price.rule ?? rule) : null,
      volume: units?.mean ?? 0,
      dollars: worth?.mean ?? 0,
      se: worth?.se == null ? null : Math.hypot(worth.se, part),
      counted: each.some((one) => counted.includes(one)),
    };
  });
  return {
    value: all.mean,
    se,
    df,
    ...withoutPercent(confidenceLimits(all.mean, se, df, confidence)),
    plots: frame.plots,
    lines,
    assumed: assumedOf(totals, lines),
    leftOut,
  };
}

const withoutPercent = ({ low, high }: ReturnType<typeof confidenceLimits>) => ({ low, high });

/** The prices that hold, each with the species that go by it; and how many species have none. */
function pricesOf(
  prices: readonly Price[],
  held: readonly (readonly [SpeciesKey, number])[],
  rule: LogRule,
): { readonly byPrice: Map<Price, Valued[]>; readonly unpriced: number } {
  const byPrice = new Map<Price, Valued[]>();
  let unpriced = 0;
  for (const [species, number] of held) {
    const ways = new Map<Product | null, Price>();
    for (const price of prices) {
      const before = ways.get(price.product);
      const named = typeof species === 'number' && price.species.includes(species);
      if (named || (price.species.length === 0 && !before?.species.length)) ways.set(price.product, price);
    }
    if (ways.size === 0) unpriced++;
    for (const price of ways.values()) {
      const { of, each } = soldBy[price.per];
      const valued: Valued =
        of === 'board feet'
          ? { key: number * 4, measure: price.rule ?? rule, scale: noScale, each }
          : { key: number * 4, measure: 'areaHeight', scale: cubicScale, each };
      byPrice.set(price, [...(byPrice.get(price) ?? []), valued]);
    }
  }
  return { byPrice, unpriced };
}

/** Of the ways to sell each species the dearest. */
function dearest(ways: readonly (readonly Valued[])[], worth: (valued: Valued) => number): Valued[] {
  const best = new Map<number, { readonly valued: Valued; readonly dollars: number }>();
  for (const valued of ways.flat()) {
    const dollars = worth(valued);
    const before = best.get(valued.key);
    if (before === undefined || dollars > before.dollars) best.set(valued.key, { valued, dollars });
  }
  return [...best.values()].map(({ valued }) => valued);
}

/** The plots behind some groups, each as a group of its own. */
function plotsIn(
  { ledger }: Totals,
  asked: readonly Group[],
  counted: readonly Group[],
): Map<Group, Group[]> {
  const plots = new Map<Group, Group[]>(counted.map((group) => [group, []]));
  // A plot that is asked for alone is a group already.
  if (asked.length === 1 && !ledger.groups.includes(asked[0]!)) {
    for (const group of counted) plots.set(group, [group]);
    return plots;
  }
  for (let plot = 0; plot < ledger.plotIds.length; plot++) {
    const own = plots.get(ledger.groupOf[plot]!);
    if (own !== undefined && ledger.groupOf[plot]!.kind !== expandsBy.nothing)
      own.push(ledger.groupOfOne(plot));
  }
  return plots;
}

/** Sums and sums of squares over plots of what each is worth. */
function sumsOver(plots: ReadonlyMap<Group, readonly Group[]>, valued: readonly Valued[]) {
  return (group: Group, expansion: number): readonly [sum: number, squares: number] => {
    let [sum, squares] = [0, 0];
    for (const plot of plots.get(group) ?? []) {
      let worth = 0;
      for (const { key, measure, scale, each } of valued)
        worth += each * (group.gauge ? scale.gauge : scale.area) * plot.first(key, measure);
      const dollars = expansion * worth;
      sum += dollars;
      squares += dollars * dollars;
    }
    return [sum, squares];
  };
}

function assumedOf(totals: Totals, lines: readonly WorthLine[]): string[] {
  const assumed = new Set<string>();
  for (const { price } of lines) {
    const { of, assumed: conversion } = soldBy[price.per];
    if (conversion !== null) assumed.add(conversion);
    if (of === 'cubic feet') assumed.add('Cubic feet are of whole stems with bark.');
    else
      assumed.add(`Board feet are net of defect, form class ${totals.ledger.formClass} where none was said.`);
  }
  if (lines.some(({ counted }) => !counted))
    assumed.add('Trees with prices as several products are counted as the one that they are worth most as.');
  return [...assumed, 'Prices are taken as they were said.', noAppraisal];
}
