/** Laying plots out by chance inside an edge, so many or as many as an error needs. */
import { azimuthOf, readBearing, toTrue } from '../../land/bearing.ts';
import { layOutPlots } from '../../land/layout.ts';
import type { Act } from '../../note/acts.ts';
import type { NoteOf } from '../../note/note.ts';
import { designOf, plotRadiusFactor } from '../../totals/plots.ts';
import * as wording from '../../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from '../outcome.ts';
import { groundInHand, keptPoint, planInHand, whereabouts } from './ground.ts';

/** The thickest tree that a plot by factor is thought to reach for, inches (common practice, no source). */
const thickInches = 24;

export function layoutOutcome(context: Context, note: NoteOf<'layout'>): Outcome {
  const { book, device, settings, id } = context;
  const ground = groundInHand(book, device);
  if (!ground.ok) return refused(ground.error);
  const { outline, acres } = ground.value;
  const count = howMany(context, note, acres);
  if (typeof count === 'string') return refused(count);
  const bearing = note.bearing === undefined ? { ok: true as const, value: 0 } : readBearing(note.bearing);
  if (!bearing.ok) return refused(bearing.error);
  const magnetic = note.north === undefined ? settings.north === 'magnetic' : note.north === 'magneticNorth';
  const azimuth =
    note.bearing === undefined
      ? 0
      : azimuthOf(magnetic ? toTrue(bearing.value, settings.declination ?? 0) : bearing.value);
  const from = whereabouts(book, device);
  const seed = seedOf(id);
  const pattern = note.pattern === 'lines' || note.bearing !== undefined ? 'lines' : 'square';
  const made = layOutPlots({
    areas: [{ name: null, outline, plots: count.plots }],
    pattern,
    bearing: azimuth,
    count: 'exact',
    seed,
    edgeFt: edgeFtOf(context),
    edgeRule: settings.edge,
    start: from?.ground === ground.value.id ? from.located.at : null,
  });
  if (!made.ok) return refused(made.error);
  const layout = made.value;
  const before = planInHand(book, device);
  const stand = book.standOf(device)?.id ?? null;
  let taken = 0;
  for (const plot of book.plots()) if (plot.stand === stand) taken = Math.max(taken, plot.number);
  const act: Act = {
    act: 'plan',
    id,
    stand,
    stratum: book.stratumOf(device)?.id ?? null,
    ground: ground.value.id,
    pattern,
    azimuth,
    seed,
    plots: layout.plots.map(({ number, at, toEdgeFt, crossesEdge }) => ({
      number: taken + number,
      at: keptPoint(book, ground.value.id, at),
      toEdgeFt,
      crossesEdge,
    })),
  };
  const again = before
    ? ' This takes the place of the plan before; drawing until one suits is choosing by hand, and biases.'
    : '';
  const grid = layout.grids[0];
  const overlap =
    grid && layout.plots.length > 1 && grid.alongFt < 2 * edgeFtOf(context)
      ? ' Plots overlap at that distance: fewer, or smaller ones.'
      : '';
  const doubtful = ground.value.closes
    ? ''
    : ' The edge closes worse than paces and bearings explain: places are as unsure.';
  return {
    ...kept([act], (_, { units }) => {
      const apart = grid ? wording.length(grid.alongFt, units, 1) : '';
      const between = grid ? wording.length(grid.betweenFt, units, 1) : '';
      const how =
        pattern === 'square'
          ? `on a square grid, ${apart} apart`
          : `on lines, ${apart} apart, lines ${between} apart`;
      const notes = layout.notes.map((sentence) => ` ${sentence}`).join('');
      const numbers = taken > 0 ? `, numbers ${taken + 1} to ${taken + layout.plots.length}` : '';
      return `${wording.sentence(wording.plotCount(layout.plots.length))}${numbers} ${how}, the start by chance. ${count.why}The walk is ${wording.length(layout.walkFt, units, 1)}.${notes}${overlap}${doubtful}${again} Say way to the next plot.`;
    }),
    detail: () => `Drawn with the seed ${seed}, kept in the book: the same seed gives the same places.`,
  };
}

/** So many as were said, as many as the error needs, or as is usual for the area. */
function howMany(
  { book, device }: Context,
  { plots, percent }: NoteOf<'layout'>,
  acres: number,
): { readonly plots: number; readonly why: string } | string {
  if (plots !== undefined) return { plots, why: '' };
  if (percent !== undefined) {
    const need = book.totals.plotsNeeded(percent, {}, 'basalArea');
    if (need.more === null) return `${need.sentence} Say a number, such as lay out twelve plots.`;
    const stratum = book.stratumOf(device);
    const share = stratum && need.allocation.find(({ name }) => name === stratum.name);
    const more = share ? Math.max(0, share.optimum - share.n) : need.more;
    if (more === 0) return `Enough: ${need.n} plots give ${wording.digits(percent, 0)} percent.`;
    return { plots: more, why: `${need.sentence} ` };
  }
  const usual = usualPoints(acres);
  return usual === null
    ? 'How many plots? Say, for one, lay out twenty plots.'
    : { plots: Math.round(usual), why: 'So many are usual for the area. ' };
}

/**
 * How many points are usual in a stand of so many acres.
 * Source: Univ. of Kentucky point-sampling notes (seen): under 10 acres 10; to 40 one an acre; to 80 20 + acres / 2; to
 * 200 40 + acres / 4. Above 200 acres the notes say nothing: null.
 */
function usualPoints(acres: number): number | null {
  if (!(acres > 0) || acres > 200) return null;
  if (acres <= 10) return 10;
  if (acres <= 40) return Math.ceil(acres);
  return Math.ceil(acres <= 80 ? 20 + acres / 2 : 40 + acres / 4);
}

/** How far a plot reaches, feet: that of the last plot's size. */
function edgeFtOf({ book }: Context): number {
  let size: NonNullable<ReturnType<Context['book']['plot']>>['size'] = null;
  for (const plot of book.plots()) size = plot.size ?? size;
  if (size === null) return 0;
  const design = designOf(size);
  if (design.kind === 'fixed') return design.radiusFt;
  return design.kind === 'factor' ? plotRadiusFactor(design.factor) * thickInches : 0;
}

/** The random end of the entry's id. */
const seedOf = (id: string): number => Number.parseInt(id.slice(-8), 16) >>> 0;
