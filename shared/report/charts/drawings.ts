/** The charts of a book: heights against diameters with the stand's curve, trees by diameter, the mean as plots are added. */

import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { Book } from '../../book/book.ts';
import { lastOf } from '../../core/required.ts';
import { centimetresPerInch, hectaresPerAcre, metresPerFoot } from '../../core/units.ts';
import * as wording from '../../wording/wording.ts';
import {
  curvePoints,
  diameterClasses,
  evenly,
  greatest,
  type HeightPoint,
  heightPoints,
  runningMean,
} from './data.ts';
import { axes, type Drawing, type DrawnPoint, frame, type Mark, shownIn } from './drawing.ts';
import { Labels } from './labels.ts';

/** A drawing, or the sentence why there is none. */
export type Drawn = Drawing | string;

/** Room of a height chart: thickest, tallest, in inches and feet; given where several must be comparable. */
interface Reach {
  readonly diameterIn: number;
  readonly heightFt: number;
}

/** Strokes of the lines of several species, in the order of their trees; more species than strokes have no line. */
const strokes = ['', ' dashed', ' dotted', ' dashdot'] as const;

/** Heights against diameters of a species (null: of all), with the curve of each species that has heights enough. */
export function heightsDrawing(
  book: Book,
  species: number | null,
  reach?: Reach,
  all: readonly HeightPoint[] = heightPoints(book, species),
): Drawn {
  const points = drawnOf(all);
  if (points.length === 0) return 'No tree has both a diameter and a height yet.';
  const shown = shownIn(book.settings.now.units);
  // A curve belongs to a species: with several shown each has its own, or none.
  const lined = species === null ? linedSpecies(all) : [species];
  const most = reach?.diameterIn ?? greatest(all.map((at) => at.diameterIn)) * 1.15;
  const least = Math.max(1, Math.min(...points.map((at) => at.diameterIn)) * 0.6);
  const curves = lined.map((one) => curvePoints(book, one, least, most));
  // The limits of one tree are of one species; of several they would lie over each other.
  const curve = curves.length === 1 ? curves[0]! : [];
  // A height in doubt may be absurd: it stands at the upper edge then, and does not flatten all others.
  const usual = Math.max(
    reach?.heightFt ?? 0,
    ...(curves.length === 0 ? curvePoints(book, species, least, most) : curve).map((at) => at.high),
    ...curves.flat().map((at) => at.feet),
    greatest(all.map((at) => (at.doubted ? 0 : at.heightFt + at.sdFt))),
  );
  const absurd = (point: HeightPoint): boolean => point.doubted && point.heightFt > 1.5 * usual;
  const top = Math.max(usual, ...points.filter((at) => !absurd(at)).map((at) => at.heightFt + at.sdFt));
  const x = scaleLinear([0, most * shown.perInch], [frame.left, frame.width - frame.right]);
  const y = scaleLinear([0, top * shown.perFoot], [frame.height - frame.bottom, frame.top]).nice();
  const dx = (inches: number) => x(inches * shown.perInch);
  const fy = (feet: number) => y(feet * shown.perFoot);
  const band = area<(typeof curve)[number]>()
    .digits(2)
    .x((at) => dx(at.diameterIn))
    .y0((at) => fy(at.low))
    .y1((at) => fy(at.high));
  const middle = line<(typeof curve)[number]>()
    .digits(2)
    .x((at) => dx(at.diameterIn))
    .y((at) => fy(at.feet));
  const doubts = points.filter((point) => point.doubted);
  const upper = doubts.filter(absurd);
  // Absurd ones stand at the edge, in rows below each other.
  const placeOf = (point: HeightPoint): DrawnPoint => [
    dx(point.diameterIn),
    absurd(point) ? frame.top + 22 + 20 * (upper.indexOf(point) % 3) : fy(point.heightFt),
  ];
  const labels = new Labels({
    points: [
      ...points.map(placeOf),
      // The arrows of those at the edge.
      ...upper.map((point): DrawnPoint => [placeOf(point)[0], placeOf(point)[1] - 14]),
    ],
    reach: 7,
    left: frame.left,
    right: frame.width,
    top: 0,
    bottom: frame.height - frame.bottom,
  });
  const pointMark = (point: HeightPoint): Mark => {
    const [cx, cy] = placeOf(point);
    const label = absurd(point)
      ? `${point.tree}? ${Math.round(point.heightFt * shown.perFoot)} ${shown.length}`
      : `${point.tree}?`;
    const error: Mark = {
      mark: 'line',
      from: [cx, fy(point.heightFt - point.sdFt)],
      to: [cx, fy(point.heightFt + point.sdFt)],
    };
    return {
      mark: 'group',
      style: point.doubted ? 'point doubted' : 'point',
      title: `Tree ${point.tree}`,
      marks: point.doubted
        ? [
            absurd(point) ? { mark: 'path', d: `M${cx} ${cy - 6}v-10m-4 4l4 -5l4 5` } : error,
            { mark: 'box', at: [cx - 6, cy - 6], width: 12, height: 12 },
            ...labels.place([cx, cy], label),
          ]
        : [error, { mark: 'circle', at: [cx, cy], r: 4.5 }],
    };
  };
  const ofOne = species === null ? '' : `, ${wording.speciesName(species)}`;
  const legend = curves.length < 2 ? [] : lined.flatMap(legendRow);
  return {
    ...frame,
    height: frame.height + (legend.length === 0 ? 0 : 6 + rowHeight * Math.ceil(lined.length / 2)),
    title: `Height against diameter${ofOne}`,
    says: `${wording.sentence(wording.treeCount(all.length))}${points.length < all.length ? `, ${points.length} of them drawn` : ''}; ${linesSay(lined)}.${
      doubts.length > 0
        ? ` In doubt, as open squares: tree ${wording.list(named(doubts.map((at) => String(at.tree))))}.`
        : ''
    }`,
    marks: [
      ...(curve.length > 0 ? [{ mark: 'path', style: 'band', d: band(curve) ?? '' } as const] : []),
      axes({ x, y, xName: `diameter, ${shown.diameter}`, yName: `height, ${shown.length}` }),
      ...curves.map(
        (one, at): Mark => ({ mark: 'path', style: `curve${strokes[at]}`, d: middle(one) ?? '' }),
      ),
      ...points.map(pointMark),
      ...legend,
    ],
  };
}

/** Points of a chart, and of those in doubt: more lie over each other. */
const mostPoints = 400;
const mostDoubted = 60;
/** Trees that a sentence names. */
const mostNamed = 20;

/** What is drawn of many points: of those in doubt and of the others as many as can be told apart. */
function drawnOf(points: readonly HeightPoint[]): readonly HeightPoint[] {
  if (points.length <= mostPoints) return points;
  const doubted = evenly(
    points.filter((at) => at.doubted),
    mostDoubted,
  );
  const others = points.filter((at) => !at.doubted);
  return [...evenly(others, mostPoints - doubted.length), ...doubted];
}

function named(trees: readonly string[]): readonly string[] {
  const left = trees.length - mostNamed;
  return left <= 0 ? trees : [...trees.slice(0, mostNamed), `${left} more`];
}

const rowHeight = 20;

/** Under the chart, where no point is: a piece of the line and the name of its species, two to a row. */
function legendRow(species: number, at: number): Mark[] {
  const x = at % 2 === 0 ? 8 : frame.width / 2;
  const y = frame.height + 10 + rowHeight * Math.floor(at / 2);
  return [
    { mark: 'line', style: `curve${strokes[at]}`, from: [x, y], to: [x + 40, y] },
    { mark: 'text', style: 'of', at: [x + 48, y + 5], text: wording.speciesName(species) },
  ];
}

function linesSay(lined: readonly number[]): string {
  if (lined.length === 0) return 'of no species are there heights enough for a line';
  if (lined.length === 1)
    return `the line is what ${wording.speciesName(lined[0]!)} is expected to have here, nine in ten trees between the limits`;
  return `each line is what its species is expected to have here: ${wording.list(lined.map((one) => wording.speciesName(one)))}`;
}

/** Species with heights enough for a line of their own, those of most heights first. */
function linedSpecies(points: readonly HeightPoint[]): number[] {
  const counts = new Map<number, number>();
  for (const { species } of points) {
    if (species !== null) counts.set(species, (counts.get(species) ?? 0) + 1);
  }
  return [...counts]
    .filter(([, n]) => n >= fewest)
    .sort((a, b) => b[1] - a[1])
    .map(([species]) => species)
    .slice(0, strokes.length);
}

/** Fewest heights of a species that are worth a line or a chart of its own. */
const fewest = 3;

/** For paper, where none can be chosen: a chart for each species of three heights and more, alike in scale; else one of all. */
export function heightDrawings(book: Book): Drawn[] {
  const points = heightPoints(book, null);
  const own = linedSpecies(points);
  if (own.length < 2) return [heightsDrawing(book, null, undefined, points)];
  const reach = {
    diameterIn: greatest(points.map((at) => at.diameterIn)) * 1.1,
    heightFt: greatest(points.map((at) => (at.doubted ? 0 : at.heightFt + at.sdFt))),
  };
  return own.map((species) =>
    heightsDrawing(
      book,
      species,
      reach,
      points.filter((at) => at.species === species),
    ),
  );
}

/** Counted trees in classes of two inches or five centimetres, the dead hatched. */
export function diametersDrawing(book: Book, species: number | null): Drawn {
  const shown = shownIn(book.settings.now.units);
  const classes = diameterClasses(book, species, shown.metric ? 5 / centimetresPerInch : 2);
  if (classes.length === 0) return 'No tree has a diameter yet.';
  const x = scaleLinear(
    [classes[0]!.from * shown.perInch, lastOf(classes).to * shown.perInch],
    [frame.left, frame.width - frame.right],
  );
  const most = Math.max(...classes.map((one) => one.live + one.dead));
  const y = scaleLinear([0, most * 1.08], [frame.height - frame.bottom, frame.top]).nice();
  const dead = classes.reduce((sum, one) => sum + one.dead, 0);
  const all = classes.reduce((sum, one) => sum + one.live + one.dead, 0);
  const bars = classes.flatMap((one): Mark[] => {
    const left = x(one.from * shown.perInch) + 1.5;
    const width = Math.max(2, x(one.to * shown.perInch) - left - 1.5);
    const bar = (style: string, from: number, to: number): Mark[] =>
      to > from ? [{ mark: 'box', style, at: [left, y(to)], width, height: y(from) - y(to) }] : [];
    return [...bar('bar', 0, one.live), ...bar('bar dead', one.live, one.live + one.dead)];
  });
  return {
    ...frame,
    title: 'Trees by diameter',
    says: `${wording.sentence(wording.treeCount(all))} in classes of ${shown.metric ? '5 centimetres' : '2 inches'}${
      dead > 0 ? `, ${dead} of them dead (hatched)` : ''
    }.`,
    hatched: dead > 0,
    marks: [axes({ x, y, xName: `diameter, ${shown.diameter}`, yName: 'trees', wholeY: true }), ...bars],
  };
}

/** Mean basal area with its limits after one, two, three... plots. */
export function runningDrawing(book: Book): Drawn {
  const means = runningMean(book);
  if (means.length === 0) return 'No plot has a size and a tree yet.';
  const { metric } = shownIn(book.settings.now.units);
  const factor = metric ? metresPerFoot ** 2 / hectaresPerAcre : 1;
  const last = lastOf(means);
  const top = Math.max(...means.map((at) => at.mean * 1.6), last.high ?? 0, 1) * factor;
  const x = scaleLinear([1, Math.max(2, last.plots)], [frame.left + 12, frame.width - frame.right - 8]);
  const y = scaleLinear([0, top], [frame.height - frame.bottom, frame.top]).nice();
  // Two plots can have limits far off the paper: they are cut at its edge.
  const cut = (value: number) => Math.max(frame.top, y(value * factor));
  const middle = line<(typeof means)[number]>()
    .digits(2)
    .x((at) => x(at.plots))
    .y((at) => y(at.mean * factor));
  const unit = metric ? 'm² a hectare' : 'ft² an acre';
  return {
    ...frame,
    title: 'Mean basal area as plots are added',
    says: `${(last.mean * factor).toFixed(0)} ${unit} from ${last.plots} ${last.plots === 1 ? 'plot' : 'plots'}${
      last.low === null || last.high === null
        ? '; one plot has no error yet'
        : `, the 95 percent limits ${(last.low * factor).toFixed(0)} and ${(last.high * factor).toFixed(0)}`
    }${book.strata.size > 0 ? '; here all plots count alike, whatever their stratum' : ''}.`,
    marks: [
      axes({ x, y, xName: 'plots', yName: unit, wholeX: true }),
      ...means.flatMap((at): Mark[] =>
        at.low === null || at.high === null
          ? []
          : [
              {
                mark: 'line',
                style: 'limits',
                from: [x(at.plots), cut(at.low)],
                to: [x(at.plots), cut(at.high)],
              },
            ],
      ),
      { mark: 'path', style: 'curve', d: middle(means) ?? '' },
      ...means.map(
        (at): Mark => ({ mark: 'circle', style: 'dot', at: [x(at.plots), y(at.mean * factor)], r: 4 }),
      ),
    ],
  };
}
