/** Plans of plots: which of them hold in a stand, and which plot of which plan is meant. */

import type { Book } from '../../book/book.ts';
import type { Act, SavedPlot } from '../../note/acts.ts';
import type { DeviceId } from '../../note/journal.ts';
import { pointNow } from './ground.ts';

export type PlanAct = Extract<Act, { act: 'plan' }>;

/** A planned plot with the plan that it is of. */
export interface PlotOfPlan {
  readonly plot: SavedPlot;
  readonly plan: PlanAct;
}

/**
 * The plans that hold in the stand that a device is in: the newest of the whole stand, or the newest of each stratum, in the
 * order in which they were laid out. A plan of the whole stand takes the place of those of its strata, and the other way
 * round. Places are on the plane of each plan's ground as it is now.
 */
export function plansInForce(book: Book, device: DeviceId): readonly PlanAct[] {
  const stand = book.standOf(device)?.id ?? null;
  let held: PlanAct[] = [];
  for (const plan of book.land.plans) {
    if (plan.stand !== stand) continue;
    const { stratum } = plan;
    held = [
      ...held.filter((one) => stratum !== null && one.stratum !== null && one.stratum !== stratum),
      plan,
    ];
  }
  return held.map((plan) => ({
    ...plan,
    plots: plan.plots.map((plot) => ({ ...plot, at: pointNow(book, plan.ground, plot.at) })),
  }));
}

/** The plan of the stratum in hand, else the newest; null where none holds. */
export function planInHand(book: Book, device: DeviceId): PlanAct | null {
  const plans = plansInForce(book, device);
  const stratum = book.stratumOf(device)?.id ?? null;
  return plans.find((plan) => plan.stratum === stratum) ?? plans.at(-1) ?? null;
}

/** All planned plots in the order of the walk; those of the stratum in hand come first. */
export function plannedPlots(book: Book, device: DeviceId): readonly PlotOfPlan[] {
  const stratum = book.stratumOf(device)?.id ?? null;
  const plans = plansInForce(book, device);
  const first = plans.filter((plan) => stratum !== null && plan.stratum === stratum);
  return [...first, ...plans.filter((plan) => !first.includes(plan))].flatMap((plan) =>
    plan.plots.map((plot) => ({ plot, plan })),
  );
}

/** The planned plot of a number; null where no plan that holds has one. */
export const plannedPlot = (book: Book, device: DeviceId, number: number): PlotOfPlan | null =>
  plannedPlots(book, device).find(({ plot }) => plot.number === number) ?? null;
