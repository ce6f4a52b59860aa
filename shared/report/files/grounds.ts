/** Edges, plans and plots of a book put together for report, drawing and files: what was planned beside what was taken. */
import type { Book } from '../../book/book.ts';
import type { EdgeWalk } from '../../book/land-records.ts';
import { type Plane, planeAt } from '../../core/plane.ts';
import { closedWalk, edgeRead, type Ground, groundOf, pointNow } from '../../dialogue/land/ground.ts';
import type { PlanePoint } from '../../land/error-ellipse.ts';
import type { ClosedTraverse } from '../../land/traverse.ts';
import type { SavedPlot } from '../../note/acts.ts';
import type { PlotRecord } from '../../totals/types.ts';

/** A planned plot with the plot that was taken there, if any. */
interface PlotPlanned extends SavedPlot {
  readonly taken: PlotRecord | null;
}

/** A walked edge, or one that was brought in. */
export interface GroundShown {
  readonly id: string;
  /** Stand or stratum; null where it is of none. */
  readonly name: string | null;
  readonly walk: EdgeWalk | null;
  /** The walk with its adjustment; null for an edge that was brought in. */
  readonly closed: ClosedTraverse | null;
  /** The area; null where there is none, with the sentence why. */
  readonly ground: Ground | null;
  readonly why: string | null;
  readonly plots: readonly PlotPlanned[];
  readonly seed: number | null;
  /** Where its plane lies on the earth, and how far that may be off, metres; null where no position is known. */
  readonly placed: { readonly plane: Plane; readonly accuracyMetres: number } | null;
}

/** All edges that were closed or brought in, in the order in which they began. */
export function groundsOf(book: Book): GroundShown[] {
  const walks = [...book.land.walks.values()].filter(({ closed }) => closed);
  return [
    ...walks.map((walk) => {
      const closed = closedWalk(book, walk);
      return shown(book, walk, {
        walk,
        closed: closed.ok ? closed.value : null,
        placed: placedWalk(book, walk),
      });
    }),
    ...book.land.edges.map((edge) => {
      const read = edgeRead(edge);
      const placed = read.ok ? { plane: read.value.plane, accuracyMetres: 0 } : null;
      return shown(book, edge, { walk: null, closed: null, placed });
    }),
  ];
}

function shown(
  book: Book,
  of: { readonly id: string; readonly stand: string | null; readonly stratum: string | null },
  more: Pick<GroundShown, 'walk' | 'closed' | 'placed'>,
): GroundShown {
  const ground = groundOf(book, of.id);
  const name = book.strata.get(of.stratum ?? '')?.name ?? book.stands.get(of.stand ?? '')?.name ?? null;
  const plan = book.land.plans.findLast((one) => one.ground === of.id) ?? null;
  const taken = new Map(
    [...book.plots()].filter(({ stand }) => stand === of.stand).map((plot) => [plot.number, plot]),
  );
  return {
    id: of.id,
    name,
    ...more,
    ground: ground.ok ? ground.value : null,
    why: ground.ok ? null : ground.error,
    seed: plan?.seed ?? null,
    plots: (plan?.plots ?? []).map((plot) => ({
      ...plot,
      at: pointNow(book, of.id, plot.at),
      taken: taken.get(plot.number) ?? null,
    })),
  };
}

/** A walk lies where the device was when it began. Its bearings are true only where the declination is known. */
function placedWalk(book: Book, walk: EdgeWalk): GroundShown['placed'] {
  const position = book.entry(walk.id)?.position;
  if (!position) return null;
  return { plane: planeAt(position), accuracyMetres: position.accuracyMetres };
}

/** Corners of a ground in order, each once; none where it has no area. */
export const cornersOf = ({ closed, ground }: GroundShown): readonly PlanePoint[] =>
  closed?.corners ?? ground?.corners ?? [];
