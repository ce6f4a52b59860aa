/** Laying plots out by chance inside an edge, or inside those of all strata: so many, or as many as an error needs. */
import { totalsOf } from '../../book/totals-of.ts';
import type { Result } from '../../core/result.ts';
import { err, ok } from '../../core/result.ts';
import type { Units } from '../../core/units.ts';
import { azimuthOf, readBearing, toTrue } from '../../land/bearing.ts';
import { layOutPlots, type PlotLayout } from '../../land/layout.ts';
import type { Act } from '../../note/acts.ts';
import { limits } from '../../note/limits.ts';
import type { NoteOf } from '../../note/note.ts';
import { optimumAllocation, proportionalAllocation, wholeAllocation } from '../../totals/estimators.ts';
import { designOf, plotRadiusFactor } from '../../totals/plots.ts';
import type { StandRecord } from '../../totals/types.ts';
import * as wording from '../../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from '../outcome.ts';
import { type Ground, groundInHand, groundOf, keptPoint, whereabouts } from './ground.ts';
import { plansInForce } from './plans.ts';

/** The thickest tree that a plot by factor is thought to reach for, inches (common practice, no source). */
const thickInches = 24;
/** Two plots are the fewest of a stratum that show a spread. */
const fewestOfStratum = 2;

/** An area that gets plots of its own. */
interface Part {
  readonly stratum: StandRecord | null;
  readonly ground: Ground;
}

/** A part with its plots drawn. */
interface PartDrawn extends Part {
  readonly layout: PlotLayout;
  readonly seed: number;
}

export function layoutOutcome(context: Context, note: NoteOf<'layout'>): Outcome {
  const { book, device, settings, id } = context;
  const found = note.strata ? partsOfStrata(context) : partInHand(context);
  if (!found.ok) return refused(found.error);
  const parts = found.value;
  const count = howMany(context, note, parts);
  if (typeof count === 'string') return refused(count);
  const azimuth = azimuthOfRows(context, note);
  if (!azimuth.ok) return refused(azimuth.error);
  const shares = sharesOf(context, parts, count.plots);
  const pattern = note.pattern === 'lines' || note.bearing !== undefined ? 'lines' : 'square';
  const from = whereabouts(book, device);
  const drawn: PartDrawn[] = [];
  for (const [i, { stratum, ground }] of parts.entries()) {
    // Each with a start of its own: seeds that follow each other.
    const seed = (seedOf(id) + i) % (limits.seed.most + 1);
    const made = layOutPlots({
      areas: [
        {
          name: stratum && wording.placeName(stratum.name),
          outline: ground.outline,
          plots: shares.plots[i]!,
        },
      ],
      pattern,
      bearing: azimuth.value,
      count: 'exact',
      seed,
      edgeFt: edgeFtOf(context),
      edgeRule: settings.edge,
      start: from?.ground === ground.id ? from.located.at : null,
    });
    if (!made.ok) return refused(made.error);
    drawn.push({ stratum, ground, layout: made.value, seed });
  }
  const behind = lastNumber(context, parts);
  const acts = actsOf(context, drawn, { pattern, azimuth: azimuth.value, behind });
  const replaced = plansInForce(book, device).some(
    (plan) =>
      parts.some(({ stratum }) => stratum === null || plan.stratum === stratum.id) || plan.stratum === null,
  );
  const again = replaced
    ? ' This takes the place of the plan before; drawing until one suits is choosing by hand, and biases.'
    : '';
  const tail = `${doubtsOf(context, drawn)}${again} Say way to the next plot.`;
  return {
    ...kept(
      acts,
      (_, { units }) =>
        `${planWords(drawn, { units, pattern, behind, shares: shares.by, why: count.why })}${tail}`,
    ),
    detail: () =>
      `Drawn with the ${drawn.length === 1 ? 'seed' : 'seeds'} ${wording.list(drawn.map(({ seed }) => String(seed)))}, kept in the book: the same seed gives the same places.`,
  };
}

function partInHand({ book, device }: Context): Result<Part[], string> {
  const ground = groundInHand(book, device);
  if (!ground.ok) return ground;
  const edge = [...book.land.walks.values(), ...book.land.edges].find(({ id }) => id === ground.value.id);
  return ok([{ stratum: book.strata.get(edge?.stratum ?? '') ?? null, ground: ground.value }]);
}

/** Every stratum of the stand in hand with its edge. One without an edge would get no plot, and bias what is told of all. */
function partsOfStrata({ book, device }: Context): Result<Part[], string> {
  const stand = book.standOf(device)?.id ?? null;
  const edges = [...[...book.land.walks.values()].filter(({ closed }) => closed), ...book.land.edges];
  const parts: Part[] = [];
  const bare: string[] = [];
  for (const stratum of book.strataOf(stand)) {
    const edge = edges.findLast((one) => one.stratum === stratum.id);
    if (edge === undefined) {
      bare.push(wording.placeName(stratum.name));
      continue;
    }
    const ground = groundOf(book, edge.id);
    if (!ground.ok) return err(`${wording.placeName(stratum.name)}: ${ground.error}`);
    parts.push({ stratum, ground: ground.value });
  }
  if (parts.length === 0 && bare.length === 0)
    return err('There are no strata here. Say, for one, stratum ridge, then walk its edge.');
  return bare.length === 0
    ? ok(parts)
    : err(
        `No edge of ${wording.list(bare)} yet, and strata that get no plots bias the whole. Walk round it first, or bring it in as a file.`,
      );
}

function azimuthOfRows({ settings }: Context, { bearing, north }: NoteOf<'layout'>): Result<number, string> {
  if (bearing === undefined) return ok(0);
  const read = readBearing(bearing);
  if (!read.ok) return read;
  const magnetic = north === undefined ? settings.north === 'magnetic' : north === 'magneticNorth';
  return ok(azimuthOf(magnetic ? toTrue(read.value, settings.declination ?? 0) : read.value));
}

/** Plots of each part: by area times spread where every stratum has shown one, else by area. */
function sharesOf(
  { book }: Context,
  parts: readonly Part[],
  plots: number,
): { readonly plots: readonly number[]; readonly by: string } {
  if (parts.length === 1) return { plots: [plots], by: '' };
  const { allocation } = totalsOf(book).plotsNeeded(10);
  const spreads = parts.map(({ stratum }) => allocation.find(({ name }) => name === stratum?.name)?.sd);
  const known = spreads.every((sd) => sd !== undefined) && spreads.some((sd) => sd! > 0);
  const weights = parts.map(({ ground }) => ground.acres);
  const shares = known
    ? optimumAllocation(
        plots,
        weights.map((weight, i) => ({ weight, sd: spreads[i]! })),
      )
    : proportionalAllocation(plots, weights);
  return {
    plots: wholeAllocation(plots, shares, fewestOfStratum),
    by: known ? 'by area and spread' : 'by area',
  };
}

/** Numbers go on behind those of plots that were taken, and of plans of other strata that hold. */
function lastNumber({ book, device }: Context, parts: readonly Part[]): number {
  const stand = book.standOf(device)?.id ?? null;
  let last = 0;
  for (const plot of book.plots()) if (plot.stand === stand) last = Math.max(last, plot.number);
  const anew = new Set(parts.map(({ stratum }) => stratum?.id ?? null));
  if (anew.has(null)) return last;
  for (const plan of plansInForce(book, device)) {
    if (plan.stratum === null || anew.has(plan.stratum)) continue;
    for (const { number } of plan.plots) last = Math.max(last, number);
  }
  return last;
}

function actsOf(
  { book, device, id }: Context,
  drawn: readonly PartDrawn[],
  { pattern, azimuth, behind }: { pattern: 'square' | 'lines'; azimuth: number; behind: number },
): Act[] {
  const stand = book.standOf(device)?.id ?? null;
  let last = behind;
  return drawn.map(({ stratum, ground, layout, seed }): Act => {
    const plots = layout.plots.map(({ number, at, toEdgeFt, crossesEdge }) => ({
      number: last + number,
      at: keptPoint(book, ground.id, at),
      toEdgeFt,
      crossesEdge,
    }));
    last += plots.length;
    return {
      act: 'plan',
      id,
      stand,
      stratum: stratum?.id ?? null,
      ground: ground.id,
      pattern,
      azimuth,
      seed,
      plots,
    };
  });
}

interface PlanWording {
  readonly units: Units;
  readonly pattern: 'square' | 'lines';
  readonly behind: number;
  readonly shares: string;
  readonly why: string;
}

function planWords(
  drawn: readonly PartDrawn[],
  { units, pattern, behind, shares, why }: PlanWording,
): string {
  const all = drawn.reduce((sum, { layout }) => sum + layout.plots.length, 0);
  const walk = wording.length(
    drawn.reduce((sum, { layout }) => sum + layout.walkFt, 0),
    units,
    1,
  );
  const notes = drawn.flatMap(({ layout }) => layout.notes.map((sentence) => ` ${sentence}`)).join('');
  const apartIn = ({ layout }: PartDrawn): string => {
    const grid = layout.grids[0];
    if (!grid) return '';
    const apart = `${wording.length(grid.alongFt, units, 1)} apart`;
    return pattern === 'square' ? apart : `${apart}, lines ${wording.length(grid.betweenFt, units, 1)} apart`;
  };
  const on = pattern === 'square' ? 'on a square grid' : 'on lines';
  if (drawn.length === 1) {
    const numbers = behind > 0 ? `, numbers ${behind + 1} to ${behind + all}` : '';
    return `${wording.sentence(wording.plotCount(all))}${numbers} ${on}, ${apartIn(drawn[0]!)}, the start by chance. ${why}The walk is ${walk}.${notes}`;
  }
  let last = behind;
  const each = drawn.map((part) => {
    const { length } = part.layout.plots;
    const numbers = length === 1 ? `number ${last + 1}` : `numbers ${last + 1} to ${last + length}`;
    last += length;
    return `${wording.placeName(part.stratum?.name ?? '')} ${length}, ${numbers}, ${apartIn(part)}`;
  });
  return `${wording.sentence(wording.plotCount(all))} over ${drawn.length} strata ${shares}, ${on} in each, each start by chance: ${each.join('; ')}. ${why}The walk within them is ${walk}.${notes}`;
}

/** What makes the plan doubtful: plots that overlap, an edge that does not close. */
function doubtsOf(context: Context, drawn: readonly PartDrawn[]): string {
  const reach = 2 * edgeFtOf(context);
  const overlap = drawn.some(
    ({ layout }) => layout.plots.length > 1 && (layout.grids[0]?.alongFt ?? Number.POSITIVE_INFINITY) < reach,
  )
    ? ' Plots overlap at that distance: fewer, or smaller ones.'
    : '';
  const doubtful = drawn.every(({ ground }) => ground.closes)
    ? ''
    : ' The edge closes worse than paces and bearings explain: places are as unsure.';
  return `${overlap}${doubtful}`;
}

/** So many as were said, as many as the error needs, or as is usual for the area. */
function howMany(
  { book }: Context,
  { plots, percent }: NoteOf<'layout'>,
  parts: readonly Part[],
): { readonly plots: number; readonly why: string } | string {
  if (plots !== undefined) {
    return plots < parts.length
      ? `Expected at least a plot for each of ${parts.length} strata; found ${wording.plotCount(plots)}.`
      : { plots, why: '' };
  }
  if (percent !== undefined) {
    const need = totalsOf(book).plotsNeeded(percent, {}, 'basalArea');
    if (need.more === null) return `${need.sentence} Say a number, such as lay out twelve plots.`;
    const [only] = parts;
    const stratum = parts.length === 1 ? only?.stratum : null;
    const share = stratum && need.allocation.find(({ name }) => name === stratum.name);
    const more = share ? Math.max(0, share.optimum - share.n) : need.more;
    if (more === 0) return `Enough: ${need.n} plots give ${wording.digits(percent, 0)} percent.`;
    return { plots: Math.max(more, parts.length), why: `${need.sentence} ` };
  }
  const usual = usualPoints(parts.reduce((sum, { ground }) => sum + ground.acres, 0));
  return usual === null
    ? 'How many plots? Say, for one, lay out twenty plots.'
    : { plots: Math.max(Math.round(usual), parts.length), why: 'So many are usual for the area. ' };
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
