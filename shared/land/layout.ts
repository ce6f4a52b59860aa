/**
 * Laying plots out: a square grid, or lines with plots along them, at a chosen bearing with a start by chance. The start
 * comes from a seed that is kept, so that the same plan can be drawn again.
 *
 * Every point of the stand is equally likely to be a plot. A grid with a start by chance gives that, but a number of plots
 * that depends on the start. Where an exact number n is wanted the grid is drawn closer; a start whose grid has N points in
 * the stand is drawn with a chance in proportion to N, and n of the N are then taken, every (N/n)th along the lines from a
 * start by chance. A point is then taken with N x n/N = n, whatever its grid: equal again. A start with N below n is drawn in
 * proportion to n with all its N points, and what is missing is put anywhere in the stand by chance, each place as likely
 * as any other: that adds the same to every point, so all stay equal and the number is always n. The spacing is chosen so
 * that this is rare.
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
  /** Plots that lie off the grid, put anywhere by chance to make up the number. */
  readonly offGrid: number;
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
const closest = 4;
const mostDraws = 10_000;
/** A strand so thin that its grid would have more lines than this holds no plots that are worth the name. */
const mostLines = 3000;

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
    notes.push(...countNotes(area, drawn, wish.count));
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
  for (const { name } of areas) {
    const crossing = plots.filter(({ stratum, crossesEdge }) => stratum === name && crossesEdge).length;
    if (crossing > 0) notes.push(edgeNote(crossing, name, wish.edgeRule));
  }
  return ok({ chosen: 'by chance', plots, grids, walkFt: walkOf(plots, wish.start), notes });
}

const walkOf = (plots: readonly PlannedPlot[], start: PlanePoint | null): number =>
  walkLength([...(start === null ? [] : [start]), ...plots.map(({ at }) => at)]);

function refusalOf({ areas, edgeFt, pattern }: LayoutWish, lineTimes: number): string | null {
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
    const { alongFt, betweenFt } = latticeFor(
      { name, outline, plots },
      pattern === 'lines' ? lineTimes : 1,
      0,
      closest,
    );
    const { west, south, east, north } = required(boundsOf(outline), 'a corner');
    if (Math.hypot(east - west, north - south) > mostLines * Math.min(alongFt, betweenFt))
      return `The edge of ${where} is too thin for ${plotsWords(plots)}: they would lie ${plain(Number(alongFt.toPrecision(2)))} feet apart.`;
  }
  return null;
}

const plotsWords = (n: number): string => (n === 1 ? '1 plot' : `${n} plots`);

function countNotes({ name, plots }: LayoutArea, drawn: Drawn, count: LayoutWish['count']): string[] {
  const where = name === null ? '' : ` in ${name}`;
  const { points, grid } = drawn;
  if (count === 'expected' && points.length !== plots)
    return [
      `The grid has ${plotsWords(points.length)}${where} at this start; ${plots} on the average of all starts.`,
    ];
  if (grid.offGrid === 0) return [];
  return [
    `${plotsWords(grid.offGrid)}${where} ${grid.offGrid === 1 ? 'lies' : 'lie'} off the grid, put anywhere by chance to make up the number.`,
  ];
}

/**
 * What must be done with plots over an edge. Where a stratum ends and another begins the stand goes on, but its trees there
 * are counted for the other stratum: for totals by strata that is an edge like any other.
 */
function edgeNote(crossing: number, stratum: string | null, rule: EdgeRule): string {
  const over = `${plotsWords(crossing)} ${crossing === 1 ? 'crosses' : 'cross'} the edge`;
  const where = stratum === null ? over : `${over} of ${stratum}`;
  return `${where}${edgeRules[rule](stratum)}`;
}

const edgeRules = {
  mirage: (stratum) =>
    stratum === null
      ? ': count by the mirage there.'
      : ': no tree beyond it counts, also where another stratum begins; count by the mirage there.',
  walkthrough: (stratum) =>
    stratum === null
      ? ': walk through each tree there.'
      : ': no tree beyond it counts, also where another stratum begins; walk through each tree there.',
  none: () =>
    ' and no edge rule is set: trees near the edge would count too little. Set mirage or walkthrough; do not move the plot.',
} as const satisfies Record<EdgeRule, (stratum: string | null) => string>;

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

/**
 * Lattice points inside, line by line, each line the other way than the one before. Every line is cut where the edge crosses
 * it; between an odd cut and the next it is inside, holes and parts alike.
 */
function pointsInside(outline: Outline, lattice: Lattice, origin: PlanePoint): PlanePoint[] {
  const { alongFt, betweenFt, bearing } = lattice;
  const found: PlanePoint[] = [];
  const cuts = lineCuts(outline, lattice, origin);
  for (const line of [...cuts.keys()].sort((a, b) => a - b)) {
    const at = required(cuts.get(line), 'the cuts of a line').sort((a, b) => a - b);
    const onLine: PlanePoint[] = [];
    for (let k = 0; k + 1 < at.length; k += 2) {
      for (let i = Math.ceil(at[k]!); i < at[k + 1]!; i++)
        onLine.push(shifted(origin, bearing, i * alongFt, line * betweenFt));
    }
    found.push(...(line % 2 === 0 ? onLine : onLine.reverse()));
  }
  return found;
}

/** Where the edge crosses each line of the lattice, in steps along it. */
function lineCuts(outline: Outline, lattice: Lattice, origin: PlanePoint): Map<number, number[]> {
  const cuts = new Map<number, number[]>();
  for (const ring of ringsOf(outline)) {
    const steps = ring.map((at) => inSteps(lattice, origin, at));
    for (const [i, a] of steps.entries()) {
      const b = steps[(i + 1) % steps.length]!;
      const [low, high] = a.across < b.across ? [a, b] : [b, a];
      // The low end is of the edge and the high one is not, so that a corner on a line cuts it twice or not at all.
      for (let line = Math.ceil(low.across); line < high.across; line++) {
        const part = (line - low.across) / (high.across - low.across);
        const at = low.along + part * (high.along - low.along);
        const there = cuts.get(line);
        if (there === undefined) cuts.set(line, [at]);
        else there.push(at);
      }
    }
  }
  return cuts;
}

/** A place in steps of the lattice from its origin. */
function inSteps({ alongFt, betweenFt, bearing }: Lattice, origin: PlanePoint, at: PlanePoint) {
  const turn = radians(bearing);
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  const [east, north] = [at.eastFt - origin.eastFt, at.northFt - origin.northFt];
  return { along: (east * sin + north * cos) / alongFt, across: (east * cos - north * sin) / betweenFt };
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
  return { points, grid: gridOf(area, lattice, { origin, points }) };
}

function gridOf(
  { name }: LayoutArea,
  { alongFt, betweenFt }: Lattice,
  { origin, points }: Start,
  offGrid = 0,
): GridUsed {
  return { stratum: name, alongFt, betweenFt, origin, inside: points.length, offGrid };
}

/**
 * No grid has more points inside than this: the cells of all of them lie within half a diagonal of the outline, and within
 * its bounds.
 */
function mostInside({ outline }: LayoutArea, lattice: Lattice): number {
  const { alongFt, betweenFt } = lattice;
  const reach = Math.hypot(alongFt, betweenFt) / 2;
  const around =
    areaOfOutline(outline) * squareFeetPerAcre +
    perimeterOf(outline) * reach +
    Math.PI * reach * reach * ringsOf(outline).length;
  const steps = ringsOf(outline)
    .flat()
    .map((at) => inSteps(lattice, { eastFt: 0, northFt: 0 }, at));
  const spanOf = (of: (step: (typeof steps)[number]) => number): number => {
    let [least, most] = [Infinity, -Infinity];
    for (const step of steps) [least, most] = [Math.min(least, of(step)), Math.max(most, of(step))];
    return most - least + 1;
  };
  const within = spanOf(({ along }) => along) * spanOf(({ across }) => across);
  return Math.ceil(Math.min(within, around / (alongFt * betweenFt)));
}

function drawExactly(area: LayoutArea, ratio: number, bearing: number, random: () => number): Drawn {
  const n = area.plots;
  const lattice = closeEnough(area, ratio, bearing);
  const most = Math.max(n, mostInside(area, lattice));
  const start = drawStart(area, lattice, random, (points) => Math.max(n, points) / most);
  const { points } = start;
  if (points.length > n) return { points: thinned(points, n, random()), grid: gridOf(area, lattice, start) };
  const more: PlanePoint[] = [];
  // One point of a start drawn in proportion to its points is any point of the stand with the same chance.
  while (points.length + more.length < n) {
    const other = drawStart(area, lattice, random, (found) => found / most).points;
    const one = other[Math.floor(random() * other.length)];
    if (one !== undefined) more.push(one);
  }
  return { points: [...points, ...more], grid: gridOf(area, lattice, start, more.length) };
}

/** A start of the lattice and its points inside. */
interface Start {
  readonly origin: PlanePoint;
  readonly points: readonly PlanePoint[];
}

/** A start by chance, kept with the chance that is given for its number of points. */
function drawStart(
  { outline }: LayoutArea,
  lattice: Lattice,
  random: () => number,
  chance: (points: number) => number,
): Start {
  for (let draw = 0; ; draw++) {
    const origin = startByChance(outline, lattice, random);
    const points = pointsInside(outline, lattice, origin);
    // The last draw is taken as it is: a chance of one in very many.
    if (draw >= mostDraws || random() < chance(points.length)) return { origin, points };
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
    if (closer > closest || hasEverywhere(area, lattice)) return lattice;
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
