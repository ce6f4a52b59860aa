/**
 * Laying plots out: a square grid, or lines with plots along them, at a chosen bearing with a start by chance. The start
 * comes from a seed that is kept, so that the same plan can be drawn again.
 *
 * Every point of the stand is equally likely to be a plot. A grid with a start by chance gives that, but a number of plots
 * that depends on the start. Where an exact number n is wanted the grid is drawn closer; a start whose grid has N points in
 * the stand is drawn with a chance in proportion to N, and n of the N are then taken, every (N/n)th along the lines from a
 * start by chance. A point is then taken with N x n/N = n, whatever its grid: equal again. (A start with N below n would
 * be drawn in proportion to n and give N plots; the spacing is chosen so that none of many trial starts does.)
 */

import { seeded } from '../core/random.ts';
import { required } from '../core/required.ts';
import { err, ok, type Result } from '../core/result.ts';
import { plain, radians, squareFeetPerAcre } from '../core/units.ts';
import { feetBetween, type PlanePoint } from './error-ellipse.ts';
import {
  areaOfOutline,
  boundsOf,
  edgeDistance,
  isInside,
  type Outline,
  perimeterOf,
  ringsOf,
} from './polygon.ts';
import { shortWalk, walkLength } from './short-walk.ts';

/** What happens with trees of plots that cross the stand's edge: the stand's edge rule, as in the totals. */
type EdgeRule = 'mirage' | 'walkthrough' | 'none';

/** A stand, or a stratum of it, with its number of plots. */
interface LayoutArea {
  readonly name: string | null;
  readonly outline: Outline;
  readonly plots: number;
}

export interface LayoutWish {
  readonly areas: readonly LayoutArea[];
  readonly pattern: 'square' | 'lines';
  /** Azimuth of the rows, degrees. */
  readonly bearing: number;
  /** For lines: how many times farther apart lines are than the plots on them. */
  readonly lineTimes?: number;
  /** Exactly so many plots, or a grid that has so many on the average. */
  readonly count: 'exact' | 'expected';
  readonly seed: number;
  /** Radius of a plot, feet: one that lies nearer to the edge crosses it. */
  readonly edgeFt: number;
  readonly edgeRule: EdgeRule;
  /** Where the walk begins; null: wherever it is shortest. */
  readonly start: PlanePoint | null;
}

interface PlannedPlot {
  /** In the order of the walk, from 1. */
  readonly number: number;
  readonly at: PlanePoint;
  readonly stratum: string | null;
  readonly toEdgeFt: number;
  /** Whether it reaches over the edge, where the edge rule holds. */
  readonly crossesEdge: boolean;
}

/** The grid of one area. */
interface GridUsed {
  readonly stratum: string | null;
  /** Feet between plots of a line, and between lines. */
  readonly alongFt: number;
  readonly betweenFt: number;
  /** A point of the grid. */
  readonly origin: PlanePoint;
  /** Grid points inside, of which the plots were taken. */
  readonly inside: number;
}

export interface PlotLayout {
  readonly chosen: 'by chance' | 'by hand';
  readonly plots: readonly PlannedPlot[];
  readonly grids: readonly GridUsed[];
  /** Feet from plot to plot, from the start where one was given. */
  readonly walkFt: number;
  /** Sentences that must be told with it. */
  readonly notes: readonly string[];
}

/** More plots than this in one area are a slip of the tongue. */
const mostPlots = 2000;
/** Trial starts for an exact count, and how often the grid is drawn closer. */
const trialStarts = 40;
const closerBy = 1.04;
const mostDraws = 10_000;

/** Lays plots out by chance. Areas without an inside, or numbers that cannot be, are refused with a sentence. */
export function layOutPlots(wish: LayoutWish): Result<PlotLayout, string> {
  const { areas, bearing, lineTimes = 2, seed } = wish;
  const refused = refusalOf(wish, lineTimes);
  if (refused !== null) return err(refused);
  const random = seeded(seed);
  const taken: { readonly at: PlanePoint; readonly stratum: string | null }[] = [];
  const grids: GridUsed[] = [];
  const outlines = new Map<string | null, Outline>();
  const notes: string[] = [];
  for (const area of areas) {
    const ratio = wish.pattern === 'lines' ? lineTimes : 1;
    const drawn =
      wish.count === 'exact'
        ? drawExactly(area, ratio, bearing, random)
        : drawGrid(area, ratio, bearing, random);
    grids.push(drawn.grid);
    outlines.set(area.name, area.outline);
    for (const at of drawn.points) taken.push({ at, stratum: area.name });
    if (drawn.points.length !== area.plots) notes.push(countNote(area, drawn.points.length, wish.count));
  }
  const order = shortWalk(
    taken.map(({ at }) => at),
    wish.start,
  );
  const plots = order.map((i, k): PlannedPlot => {
    const { at, stratum } = taken[i]!;
    const toEdgeFt = edgeDistance(required(outlines.get(stratum), 'the outline of a stratum'), at);
    return { number: k + 1, at, stratum, toEdgeFt, crossesEdge: toEdgeFt < wish.edgeFt };
  });
  const crossing = plots.filter(({ crossesEdge }) => crossesEdge).length;
  if (crossing > 0) notes.push(edgeNotes[wish.edgeRule](crossing));
  return ok({ chosen: 'by chance', plots, grids, walkFt: walkOf(plots, wish.start), notes });
}

const walkOf = (plots: readonly PlannedPlot[], start: PlanePoint | null): number =>
  walkLength([...(start === null ? [] : [start]), ...plots.map(({ at }) => at)]);

function refusalOf({ areas, edgeFt }: LayoutWish, lineTimes: number): string | null {
  if (areas.length === 0) return 'Expected a stand with an edge; found none. Walk its edge or bring one in.';
  if (!(lineTimes >= 0.1 && lineTimes <= 50))
    return `Expected lines 0.1 to 50 times as far apart as their plots; found ${plain(lineTimes)}.`;
  if (!(edgeFt >= 0)) return `Expected a plot radius of 0 feet or more; found ${plain(edgeFt)}.`;
  for (const { name, outline, plots } of areas) {
    const where = name === null ? 'the stand' : name;
    if (!Number.isInteger(plots) || plots < 1 || plots > mostPlots)
      return `Expected 1 to ${mostPlots} plots in ${where}; found ${plain(plots)}.`;
    if (ringsOf(outline).length === 0 || !(areaOfOutline(outline) > 0))
      return `The edge of ${where} encloses nothing.`;
  }
  return null;
}

const plotsWords = (n: number): string => (n === 1 ? '1 plot' : `${n} plots`);

function countNote({ name, plots }: LayoutArea, found: number, count: LayoutWish['count']): string {
  const where = name === null ? '' : ` in ${name}`;
  return count === 'expected'
    ? `The grid has ${plotsWords(found)}${where} at this start; ${plots} on the average of all starts.`
    : `Only ${plotsWords(found)} of ${plots} fell inside${where} at this start.`;
}

const edgeNotes = {
  mirage: (n) => `${plotsWords(n)} ${n === 1 ? 'crosses' : 'cross'} the edge: count by the mirage there.`,
  walkthrough: (n) =>
    `${plotsWords(n)} ${n === 1 ? 'crosses' : 'cross'} the edge: walk through each tree there.`,
  none: (n) =>
    `${plotsWords(n)} ${n === 1 ? 'crosses' : 'cross'} the edge and no edge rule is set: trees near the edge would count too little. Set mirage or walkthrough; do not move the plot.`,
} as const satisfies Record<EdgeRule, (crossing: number) => string>;

/** A lattice turned to the rows' bearing. */
interface Lattice {
  readonly alongFt: number;
  readonly betweenFt: number;
  readonly bearing: number;
}

/** Lattice whose cell is the area for one plot. */
function latticeFor(area: LayoutArea, ratio: number, bearing: number, closer = 1): Lattice {
  const cell = (areaOfOutline(area.outline) * squareFeetPerAcre) / area.plots / closer;
  const alongFt = Math.sqrt(cell / ratio);
  return { alongFt, betweenFt: alongFt * ratio, bearing };
}

/** The middle of the bounds, from which grids are reckoned. */
function middleOf(outline: Outline): PlanePoint {
  const { west, south, east, north } = required(boundsOf(outline), 'a corner');
  return { eastFt: (west + east) / 2, northFt: (south + north) / 2 };
}

/** Moves by so much along the rows and across them, to the right. */
function shifted(from: PlanePoint, bearing: number, alongFt: number, acrossFt: number): PlanePoint {
  const turn = radians(bearing);
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  return {
    eastFt: from.eastFt + alongFt * sin + acrossFt * cos,
    northFt: from.northFt + alongFt * cos - acrossFt * sin,
  };
}

/** Lattice points inside, line by line, each line the other way than the one before. */
function pointsInside(outline: Outline, lattice: Lattice, origin: PlanePoint): PlanePoint[] {
  const { alongFt, betweenFt, bearing } = lattice;
  const corners = ringsOf(outline).flat();
  const turn = radians(bearing);
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  let [fromAlong, toAlong, fromAcross, toAcross] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { eastFt, northFt } of corners) {
    const [east, north] = [eastFt - origin.eastFt, northFt - origin.northFt];
    const along = (east * sin + north * cos) / alongFt;
    const across = (east * cos - north * sin) / betweenFt;
    [fromAlong, toAlong] = [Math.min(fromAlong, along), Math.max(toAlong, along)];
    [fromAcross, toAcross] = [Math.min(fromAcross, across), Math.max(toAcross, across)];
  }
  const found: PlanePoint[] = [];
  for (let line = Math.ceil(fromAcross); line <= toAcross; line++) {
    const onLine: PlanePoint[] = [];
    for (let i = Math.ceil(fromAlong); i <= toAlong; i++) {
      const at = shifted(origin, bearing, i * alongFt, line * betweenFt);
      if (isInside(outline, at)) onLine.push(at);
    }
    found.push(...(line % 2 === 0 ? onLine : onLine.reverse()));
  }
  return found;
}

interface Drawn {
  readonly points: readonly PlanePoint[];
  readonly grid: GridUsed;
}

function startByChance(outline: Outline, lattice: Lattice, random: () => number): PlanePoint {
  const [along, across] = [random(), random()];
  return shifted(middleOf(outline), lattice.bearing, along * lattice.alongFt, across * lattice.betweenFt);
}

function drawGrid(area: LayoutArea, ratio: number, bearing: number, random: () => number): Drawn {
  const lattice = latticeFor(area, ratio, bearing);
  const origin = startByChance(area.outline, lattice, random);
  const points = pointsInside(area.outline, lattice, origin);
  return { points, grid: gridOf(area, lattice, origin, points.length) };
}

const gridOf = (area: LayoutArea, lattice: Lattice, origin: PlanePoint, inside: number): GridUsed => ({
  stratum: area.name,
  alongFt: lattice.alongFt,
  betweenFt: lattice.betweenFt,
  origin,
  inside,
});

/** No grid has more points inside than this: the cells of all of them lie within half a diagonal of the outline. */
function mostInside({ outline }: LayoutArea, { alongFt, betweenFt }: Lattice): number {
  const reach = Math.hypot(alongFt, betweenFt) / 2;
  const around =
    areaOfOutline(outline) * squareFeetPerAcre +
    perimeterOf(outline) * reach +
    Math.PI * reach * reach * ringsOf(outline).length;
  return Math.ceil(around / (alongFt * betweenFt));
}

function drawExactly(area: LayoutArea, ratio: number, bearing: number, random: () => number): Drawn {
  const n = area.plots;
  const lattice = closeEnough(area, ratio, bearing);
  const most = Math.max(n, mostInside(area, lattice));
  for (let draw = 0; ; draw++) {
    const origin = startByChance(area.outline, lattice, random);
    const points = pointsInside(area.outline, lattice, origin);
    // The last draw is taken as it is: a chance of one in very many.
    if (draw < mostDraws && random() * most >= Math.max(n, points.length)) continue;
    const grid = gridOf(area, lattice, origin, points.length);
    return { points: points.length <= n ? points : thinned(points, n, random()), grid };
  }
}

/** n of the points, every (N/n)th in their order from a start by chance: each with the same chance n/N. */
function thinned(points: readonly PlanePoint[], n: number, start: number): PlanePoint[] {
  const step = points.length / n;
  return Array.from({ length: n }, (_, k) => points[Math.floor((start + k) * step)]!);
}

/**
 * The widest lattice, in steps of 4 percent of area, that has at least n points inside at every one of a set of trial starts
 * spread over the cell. The trials are not drawn by chance, so that the spacing does not depend on the seed.
 */
function closeEnough(area: LayoutArea, ratio: number, bearing: number): Lattice {
  for (let closer = 1; ; closer *= closerBy) {
    const lattice = latticeFor(area, ratio, bearing, closer);
    if (closer > 16 || hasEverywhere(area, lattice)) return lattice;
  }
}

function hasEverywhere({ outline, plots }: LayoutArea, lattice: Lattice): boolean {
  const middle = middleOf(outline);
  for (let k = 0; k < trialStarts; k++) {
    // A sequence that fills the cell evenly (Roberts 2018, from memory: powers of the plastic number).
    const [along, across] = [(k * 0.7548776662466927) % 1, (k * 0.5698402909980532) % 1];
    const origin = shifted(middle, lattice.bearing, along * lattice.alongFt, across * lattice.betweenFt);
    if (pointsInside(outline, lattice, origin).length < plots) return false;
  }
  return true;
}

/** What must be said of plots that somebody put where it suited. */
export const handPickedBias =
  'Plots put where it suits are not a sample: they bias every total, and no give-or-take shows by how much.';

/**
 * Places that somebody chose, as a plan that says so.
 * @internal tested, and asked for by nothing of the program yet
 */
export function handPicked(
  places: readonly PlanePoint[],
  outline: Outline | null,
  edgeFt: number,
): PlotLayout {
  const plots = places.map((at, i): PlannedPlot => {
    const toEdgeFt = outline === null ? Number.POSITIVE_INFINITY : edgeDistance(outline, at);
    return { number: i + 1, at, stratum: null, toEdgeFt, crossesEdge: toEdgeFt < edgeFt };
  });
  const outside = outline === null ? 0 : places.filter((at) => !isInside(outline, at)).length;
  return {
    chosen: 'by hand',
    plots,
    grids: [],
    walkFt: walkOf(plots, null),
    notes: [
      handPickedBias,
      ...(outside === 0
        ? []
        : [`${plotsWords(outside)} ${outside === 1 ? 'lies' : 'lie'} outside the edge.`]),
    ],
  };
}

/**
 * The nearest planned plot to a place; null where there is none.
 * @internal tested, and asked for by nothing of the program yet
 */
export function nearestPlot(layout: PlotLayout, to: PlanePoint): PlannedPlot | null {
  let best: PlannedPlot | null = null;
  for (const plot of layout.plots) {
    if (best === null || feetBetween(plot.at, to) < feetBetween(best.at, to)) best = plot;
  }
  return best;
}
