/** Selection: the groups of plots that a question looks at, sorted into stands and strata with their areas. */
import type { Status } from '../note/note.ts';
import type { SumColumn } from './cells.ts';
import { statusNumber } from './contribution.ts';
import type { Ledger } from './ledger.ts';
import { expandsBy, type Group } from './plot-sums.ts';
import { type AreaError, type Domain, noAreaError, type SamplingFrame } from './sampling-frame.ts';
import type { StandRecord, TotalsScope } from './types.ts';

const allStatuses = 3;
/** A species number that no tree has. */
const noSuchSpecies = 1 << 20;

const statusOf = (status: Status | 'all'): number => (status === 'all' ? allStatuses : statusNumber[status]);

/** What is known of an area's error: of paces, which others share, and the rest. */
function errorOf({ sdAcres = 0, paceSdAcres = 0 }: StandRecord): AreaError {
  const shared = Math.min(paceSdAcres, sdAcres);
  return { own: Math.sqrt(sdAcres * sdAcres - shared * shared), shared };
}

export class Selection {
  constructor(private readonly ledger: Ledger) {}

  /** Key of a scope's species with a status, into blocks and classes. */
  keyOf(scope: TotalsScope, status: Status | 'all'): number {
    const species =
      scope.species === undefined ? 0 : (this.ledger.interning.knownSpecies(scope.species) ?? noSuchSpecies);
    return species * 4 + statusOf(status);
  }

  /** Groups of plots that lie in the scope; days and persons are those that began the plots. */
  groupsIn(scope: TotalsScope): Group[] {
    this.ledger.settle();
    if (scope.plot !== undefined) {
      const plot = this.ledger.indexOfPlot(scope.plot);
      return plot === undefined ? [] : [this.ledger.groupOfOne(plot)];
    }
    const person = scope.person === undefined ? undefined : this.ledger.interning.person(scope.person);
    return this.ledger.groups.filter((group) => {
      const place = this.ledger.interning.places[group.place]!;
      if (
        scope.design !== undefined &&
        group.kind !== expandsBy[scope.design === 'fixed' ? 'area' : 'factor']
      )
        return false;
      if (scope.day !== undefined && group.day !== scope.day) return false;
      if (person !== undefined && group.person !== person) return false;
      if (scope.stand !== undefined && place.stand !== scope.stand) return false;
      if (scope.stratum === undefined) return true;
      if (place.stratum === null) return false;
      return place.stratum === scope.stratum || this.ledger.strata.get(place.stratum)?.name === scope.stratum;
    });
  }

  /** Sorts groups into stands and strata. One plot asked by itself stands for itself, not for its stand. */
  frameOf(groups: readonly Group[], alone: boolean): SamplingFrame {
    const domains: Domain[] = [];
    let plots = 0;
    let acres: number | null = 0;
    for (let place = 0; place < this.ledger.interning.places.length; place++) {
      const here = groups.filter((group) => group.place === place && group.plots > 0);
      const sampled = here.filter(({ kind }) => kind === expandsBy.area || kind === expandsBy.factor);
      const census = sampled.length === 0;
      const members = census ? here.filter(({ kind }) => kind === expandsBy.tally) : sampled;
      if (members.length === 0) continue;
      const n = members.reduce((total, group) => total + group.plots, 0);
      const found = alone && !census ? null : this.areaOf(place);
      const own = found?.acres ?? null;
      let area = 0;
      for (const group of members) area += group.kind === expandsBy.area ? group.plots / group.expansion : 0;
      const bounded = own !== null && area > 0 && members.every(({ kind }) => kind === expandsBy.area);
      const populationSize = bounded ? Math.max(n, (n * own) / area) : Number.POSITIVE_INFINITY;
      const areaError = found?.error ?? noAreaError;
      domains.push({ place, acres: own, areaError, census, groups: members, plots: n, populationSize });
      plots += n;
      acres = acres === null || own === null ? null : acres + own;
    }
    if (domains.length === 0) acres = null;
    const loose = groups.filter(({ kind }) => kind === expandsBy.nothing);
    return { domains, weighted: acres !== null, plots, acres, loose };
  }

  /** Area of a stratum, or of the part of a stand that its strata leave, with its error; null where it is not known. */
  areaOf(index: number): { readonly acres: number; readonly error: AreaError } | null {
    const place = this.ledger.interning.places[index]!;
    if (place.stratum !== null) {
      const own = this.ledger.strata.get(place.stratum);
      if (own !== undefined && own.acres !== null) return { acres: own.acres, error: errorOf(own) };
    }
    const stand = place.stand === null ? undefined : this.ledger.stands.get(place.stand);
    if (stand === undefined || stand.acres === null) return null;
    let { acres } = stand;
    let { own, shared } = errorOf(stand);
    for (const stratum of this.ledger.strata.values()) {
      if (stratum.stand !== place.stand || stratum.id === place.stratum) continue;
      if (stratum.acres === null) return null;
      acres -= stratum.acres;
      const error = errorOf(stratum);
      own = Math.hypot(own, error.own);
      shared -= error.shared;
    }
    return acres > 1e-9 ? { acres, error: { own, shared } } : null;
  }

  /** Name of a stratum, or of a stand; empty where it has none. */
  nameOf(index: number): string {
    const { stand, stratum } = this.ledger.interning.places[index]!;
    const record = stratum === null ? undefined : this.ledger.strata.get(stratum);
    return record?.name ?? stratum ?? (stand === null ? '' : (this.ledger.stands.get(stand)?.name ?? ''));
  }
}

/** Sum of a column over groups, or over those of a frame's domains. */
export function sumOf(groups: readonly Group[], key: number, column: SumColumn): number {
  let sum = 0;
  for (const group of groups) sum += group.sum(key, column);
  return sum;
}

/** Groups of a frame that expand to an acre. */
export const expanding = (frame: SamplingFrame): Group[] =>
  frame.domains.flatMap((domain) => [...domain.groups]);
