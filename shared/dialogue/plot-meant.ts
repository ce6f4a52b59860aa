/**
 * Which plot a number means. Numbers begin again when the kind of plots changes: "point one" by a gauge stands beside
 * plot 1 of a tenth of an acre. Of two of one number that of the kind in use is meant.
 */
import type { Book } from '../book/book.ts';
import type { Note, Notes } from '../note/note.ts';
import type { PlotSize } from '../note/quantities.ts';
import { designOf } from '../totals/plots.ts';
import type { PlotRecord } from '../totals/types.ts';
import type { Context } from './outcome.ts';

/** How a plot takes its trees; null while its size was not said. */
export type PlotKind = ReturnType<typeof designOf>['kind'];

export const kindOfSize = (size: PlotSize | null): PlotKind | null =>
  size === null ? null : designOf(size).kind;

type InHand = Pick<Context, 'book' | 'device' | 'deviceState'>;

/** The kind of the plots that are to come, as it was said last; else of the one in hand, or the last of the stand. */
export function kindInUse({ book, device, deviceState }: InHand): PlotKind | null {
  const coming = kindOfSize(deviceState.plotSize);
  if (coming !== null) return coming;
  const inHand = book.plot(deviceState.plot);
  if (inHand) return kindOfSize(inHand.size);
  const stand = book.standOf(device)?.id ?? null;
  let last: PlotRecord | null = null;
  for (const plot of book.plots()) if (plot.stand === stand) last = plot;
  return kindOfSize(last?.size ?? null);
}

/** The plots of a number in a stand, in the order in which they were begun. */
export const plotsNumbered = (book: Book, number: number, stand: string | null): PlotRecord[] =>
  [...book.plots()].filter((plot) => plot.number === number && plot.stand === stand);

/** The plot of a number in the stand in hand; of several the newest of the kind in use. */
export function plotMeant(context: InHand, number: number): PlotRecord | null {
  const { book, device } = context;
  const found = plotsNumbered(book, number, book.standOf(device)?.id ?? null);
  if (found.length < 2) return found[0] ?? null;
  const kind = kindInUse(context);
  return found.findLast(({ size }) => kindOfSize(size) === kind) ?? found.at(-1) ?? null;
}

/** The plot that stands in the way of a new one of that number and kind. */
export const plotTaken = (book: Book, number: number, stand: string | null, kind: PlotKind | null) =>
  plotsNumbered(book, number, stand).find(({ size }) => {
    const other = kindOfSize(size);
    return other === null || kind === null || other === kind;
  });

/** "Point four was six trees" where no plot 4 stands: it is begun with them. */
export function spelledOut(context: InHand, notes: Notes): Notes {
  if (!notes.some((note) => note.kind === 'plot' && note.op === 'count')) return notes;
  const [first, ...others] = notes.flatMap((note): Note[] => {
    if (note.kind !== 'plot' || note.op !== 'count' || note.number === undefined) return [note];
    const { number, count, by } = note;
    const kind = kindInUse(context);
    const stand = context.book.standOf(context.device)?.id ?? null;
    if (count === undefined || plotTaken(context.book, number, stand, kind)) return [note];
    return [
      { kind: 'plot', op: 'open', number, ...(by === undefined ? {} : { by }) },
      { kind: 'tree', facts: { count } },
    ];
  });
  return first === undefined ? notes : [first, ...others];
}
