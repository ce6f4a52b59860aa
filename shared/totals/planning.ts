/** Plots still to be measured for a stated error, and how they are best spread over strata. */
import { required } from '../core/required.ts';
import { optimumAllocation, plotsNeeded, proportionalAllocation } from './estimators.ts';
import type { domainSpreads, frameSpread } from './sampling-frame.ts';

/** Plots of one stand or stratum. */
interface Allocation {
  readonly name: string;
  readonly acres: number;
  /** Plots so far. */
  readonly n: number;
  /** Plots in all, in proportion to the area. */
  readonly proportional: number;
  /** Plots in all, in proportion to area times spread: the fewest for the error. */
  readonly optimum: number;
  /** How much its plots differ, per acre. */
  readonly sd: number;
}

/** What a sampling error in percent would take. Numbers are null where the sentence says why. */
export interface PlotsNeeded {
  readonly more: number | null;
  readonly needed: number | null;
  /** Plots so far. */
  readonly n: number;
  /** Coefficient of variation that it rests on: of all plots, or within strata weighted by their area. */
  readonly cvPct: number | null;
  /** By stratum, when all of them have areas and two plots or more; else empty. */
  readonly allocation: readonly Allocation[];
  readonly sentence: string;
}

interface Plan {
  readonly errorPct: number;
  readonly confidence: number;
  /** Plots so far. */
  readonly n: number;
  /** Of all sampled plots as one sample; null below two. */
  readonly spread: ReturnType<typeof frameSpread>;
  /** Within strata; null when they cannot be told apart. */
  readonly strata: ReturnType<typeof domainSpreads>;
  readonly nameOf: (place: number) => string;
}

/**
 * Plots for the error at the spread seen so far. With two strata or more of known areas by the weighted coefficient of
 * variation, sum W s / mean (USDA Forest Service FSH 2409.12; degrees of freedom n - 1), with their allocation.
 */
export function planPlots(plan: Plan): PlotsNeeded {
  const { errorPct, confidence, n, spread } = plan;
  const refuse = (sentence: string): PlotsNeeded => ({
    more: null,
    needed: null,
    n,
    cvPct: spread?.cvPct ?? null,
    allocation: [],
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
  const strata = plan.strata !== null && plan.strata.length > 1 ? plan.strata : null;
  let { cvPct } = spread;
  if (strata !== null) {
    const acres = strata.reduce((sum, { domain }) => sum + acresOf(domain), 0);
    const mean = strata.reduce((sum, each) => sum + (acresOf(each.domain) / acres) * each.mean, 0);
    cvPct = strata.reduce((sum, each) => sum + (acresOf(each.domain) / acres) * each.sd, 0) * (100 / mean);
  }
  const populationSize = Math.max(2, Math.floor(spread.populationSize));
  const least = strata === null ? 2 : 2 * strata.length;
  const needed = Math.max(least, plotsNeeded({ cvPct, errorPct, confidence, populationSize }));
  const few = n < 5 ? ` ${n} plots say little; ask again after five.` : '';
  const where = strata === null ? '' : ' within strata';
  return {
    more: Math.max(0, needed - n),
    needed,
    n,
    cvPct,
    allocation: strata === null ? [] : allocate(needed, strata, plan.nameOf),
    sentence: `Plots differ by ${Math.round(cvPct)} percent${where}.${few}`,
  };
}

/** Strata are weighed by their areas only where each has one. */
const acresOf = ({ acres }: { readonly acres: number | null }): number => required(acres, 'the area');

function allocate(needed: number, strata: NonNullable<Plan['strata']>, nameOf: Plan['nameOf']): Allocation[] {
  const weights = strata.map(({ domain }) => acresOf(domain));
  const even = proportionalAllocation(needed, weights);
  const best = optimumAllocation(
    needed,
    strata.map(({ domain, sd }) => ({ weight: acresOf(domain), sd })),
  );
  // Two plots are the fewest that show a spread.
  return strata.map(({ domain, sd }, i) => ({
    name: nameOf(domain.place),
    acres: acresOf(domain),
    n: domain.plots,
    proportional: Math.max(2, Math.round(even[i]!)),
    optimum: Math.max(2, Math.round(best[i]!)),
    sd,
  }));
}
