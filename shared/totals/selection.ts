/**
 * Selection: which cells and plots a question looks at, and their sums by plot and by status.
 */
import type { Status } from '../note.ts';
import type { Cells, Column } from './cells.ts';
import { statusNumber } from './contribution.ts';
import type { Domain, Frame } from './frame.ts';
import { columns, expandsBy, Ledger, noSpecies } from './ledger.ts';
import type { TotalsScope } from './types.ts';

/** Columns that add up to a quantity and the factor to its unit: on plots of an area, and at a gauge. */
export interface Recipe {
  readonly area: readonly Column[];
  readonly gauge: readonly Column[];
  readonly areaScale: number;
  readonly gaugeScale: number;
}

export class Selection extends Ledger {
  protected picked = new Int32Array(256);
  protected y = new Float64Array(64);
  protected x = new Float64Array(64);
  protected inScope = new Uint8Array(64);

  protected cells(scope: TotalsScope): Cells {
    return scope.species === undefined ? this.whole : this.kinds;
  }

  protected counts(plot: number): boolean {
    return this.plotTrees[plot]! > 0 || this.plotMarked[plot] === 1;
  }

  /** Marks the plots that lie in the scope's stand, stratum and plot. */
  protected placesIn(scope: TotalsScope): Uint8Array {
    const n = this.plotIds.length;
    if (this.inScope.length < n) this.inScope = new Uint8Array(n * 2);
    const only = scope.plot === undefined ? null : (this.indexOfPlot(scope.plot) ?? -1);
    const fits = this.places.map((place) => {
      if (scope.stand !== undefined && place.stand !== scope.stand) return 0;
      if (scope.stratum === undefined) return 1;
      const named = place.stratum === null ? undefined : this.strata.get(place.stratum)?.name;
      return place.stratum === scope.stratum || named === scope.stratum ? 1 : 0;
    });
    for (let plot = 0; plot < n; plot++) {
      this.inScope[plot] = only === null || only === plot ? fits[this.plotPlace[plot]!]! : 0;
    }
    return this.inScope;
  }

  /** Fills `protected picked` with the cells that fit, all statuses; by the day and person of trees, or of plots. */
  protected pick(cells: Cells, inScope: Uint8Array, scope: TotalsScope, byTree: boolean): number {
    const some = scope.species === undefined ? null : (cells.bySpecies.get(scope.species ?? noSpecies) ?? []);
    const n = some?.length ?? cells.count;
    if (this.picked.length < n) this.picked = new Int32Array(n * 2);
    const day = scope.day ?? null;
    const person = scope.person === undefined ? null : this.personOf(scope.person);
    let count = 0;
    for (let i = 0; i < n; i++) {
      const cell = some === null ? i : some[i]!;
      const plot = cells.plot[cell]!;
      if (inScope[plot] !== 1) continue;
      if (
        day !== null &&
        (byTree || this.plotRecords[plot] === undefined ? cells.day[cell] : this.plotDay[plot]) !== day
      )
        continue;
      if (
        person !== null &&
        (byTree || this.plotRecords[plot] === undefined ? cells.person[cell] : this.plotPerson[plot]) !==
          person
      )
        continue;
      this.picked[count++] = cell;
    }
    return count;
  }

  /** Sorts the plots that count into stands and strata. */
  protected frame(
    inScope: Uint8Array,
    scope: { day?: number | undefined; person?: string | undefined; plot?: string },
  ): Frame {
    const sampled: number[][] = this.places.map(() => []);
    const tallied: number[][] = this.places.map(() => []);
    const area = new Float64Array(this.places.length);
    const gauges = new Uint8Array(this.places.length);
    const day = scope.day ?? null;
    const person = scope.person === undefined ? null : this.personOf(scope.person);
    let plots = 0;
    for (let plot = 0; plot < this.plotIds.length; plot++) {
      const kind = this.plotKind[plot]!;
      if (inScope[plot] !== 1 || kind === expandsBy.nothing || !this.counts(plot)) continue;
      if (day !== null && this.plotDay[plot] !== day) continue;
      if (person !== null && this.plotPerson[plot] !== person) continue;
      const place = this.plotPlace[plot]!;
      if (kind === expandsBy.tally) tallied[place]!.push(plot);
      else sampled[place]!.push(plot);
      if (kind === expandsBy.area) area[place]! += 1 / this.plotExpansion[plot]!;
      else gauges[place] = 1;
    }
    const domains: Domain[] = [];
    let acres: number | null = 0;
    for (let place = 0; place < this.places.length; place++) {
      const census = sampled[place]!.length === 0;
      const members = census ? tallied[place]! : sampled[place]!;
      if (members.length === 0) continue;
      // One plot asked by itself stands for itself, not for its stand.
      const own = scope.plot === undefined || census ? this.acresOf(place) : null;
      const bounded = own !== null && gauges[place] === 0 && area[place]! > 0;
      const populationSize = bounded
        ? Math.max(members.length, (members.length * own) / area[place]!)
        : Infinity;
      domains.push({ acres: own, census, plots: members, populationSize });
      plots += members.length;
      acres = acres === null || own === null ? null : acres + own;
    }
    const weighted = domains.length > 0 && acres !== null;
    return { domains, weighted, plots, acres: domains.length > 0 ? acres : null };
  }

  /** Acres of a stand's stratum, or of the part of a stand that its strata leave. */
  protected acresOf(index: number): number | null {
    const place = this.places[index]!;
    if (place.stratum !== null) {
      const own = this.strata.get(place.stratum)?.acres ?? null;
      if (own !== null) return own;
    }
    const stand = place.stand === null ? null : (this.stands.get(place.stand)?.acres ?? null);
    if (stand === null) return null;
    let others = 0;
    let divided = false;
    for (let i = 0; i < this.places.length; i++) {
      const each = this.places[i]!;
      if (i === index || each.stand !== place.stand || each.stratum === null) continue;
      divided = true;
      const acres = this.strata.get(each.stratum)?.acres ?? null;
      if (acres === null) return null;
      others += acres;
    }
    const left = divided ? stand - others : stand;
    return left > 1e-9 ? left : null;
  }

  /** Values of plots, expanded to an acre, of one status or all. */
  protected gather(
    cells: Cells,
    count: number,
    recipe: Recipe,
    status: Status | 'all',
    into: 'y' | 'x',
  ): Float64Array {
    const n = this.plotIds.length;
    if (this[into].length < n) this[into] = new Float64Array(n * 2);
    const target = this[into];
    target.fill(0, 0, n);
    const wanted = status === 'all' ? -1 : statusNumber[status];
    for (const gauge of [false, true]) {
      const scale = gauge ? recipe.gaugeScale : recipe.areaScale;
      for (const name of gauge ? recipe.gauge : recipe.area) {
        const sums = cells.sums[columns[name]]!;
        for (let i = 0; i < count; i++) {
          const cell = this.picked[i]!;
          const plot = cells.plot[cell]!;
          if (wanted >= 0 && cells.status[cell] !== wanted) continue;
          if ((this.plotKind[plot] === expandsBy.factor) !== gauge) continue;
          target[plot]! += sums[cell]! * scale * this.plotExpansion[plot]!;
        }
      }
    }
    return target;
  }

  /** What each plot's value counts for in the mean of the frame. */
  protected shares(frame: Frame): Float64Array {
    if (this.x.length < this.plotIds.length) this.x = new Float64Array(this.plotIds.length * 2);
    const shares = this.x;
    shares.fill(0, 0, this.plotIds.length);
    let weight = 0;
    let pooled = 0;
    for (const domain of frame.domains) {
      weight += domain.acres ?? 1;
      if (!domain.census) pooled += domain.plots.length;
    }
    for (const domain of frame.domains) {
      for (const plot of domain.plots) {
        if (!frame.weighted) shares[plot] = domain.census ? 0 : 1 / pooled;
        else if (domain.census) shares[plot] = 1 / weight;
        else shares[plot] = (domain.acres ?? 1) / weight / domain.plots.length;
      }
    }
    return shares;
  }

  protected sumByStatus(
    cells: Cells,
    count: number,
    recipe: Recipe,
    shares: Float64Array | null,
  ): Record<Status, number> {
    const sums = [0, 0, 0];
    for (let i = 0; i < count; i++) {
      const cell = this.picked[i]!;
      const plot = cells.plot[cell]!;
      const share = shares === null ? 1 : shares[plot]! * this.plotExpansion[plot]!;
      if (share === 0) continue;
      const gauge = this.plotKind[plot] === expandsBy.factor;
      let value = 0;
      for (const name of gauge ? recipe.gauge : recipe.area) value += cells.sums[columns[name]]![cell]!;
      sums[cells.status[cell]!]! += value * share * (gauge ? recipe.gaugeScale : recipe.areaScale);
    }
    return { live: sums[0]!, dead: sums[1]!, cull: sums[2]! };
  }

  protected countIn(
    cells: Cells,
    count: number,
    name: Column,
    status: Status | 'all',
    where?: (plot: number) => boolean,
  ): number {
    const sums = cells.sums[columns[name]]!;
    const wanted = status === 'all' ? -1 : statusNumber[status];
    let total = 0;
    for (let i = 0; i < count; i++) {
      const cell = this.picked[i]!;
      if (wanted >= 0 && cells.status[cell] !== wanted) continue;
      if (where !== undefined && !where(cells.plot[cell]!)) continue;
      total += sums[cell]!;
    }
    return total;
  }
}
