/** The charts of a book: heights against diameters with the stand's curve, trees by diameter, the mean as plots are added. */
import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { Book } from '../../book/book.ts';
import { centimetresPerInch, hectaresPerAcre, metresPerFoot } from '../../core/units.ts';
import * as wording from '../../wording/wording.ts';
import {
  commonest,
  curvePoints,
  diameterClasses,
  type HeightPoint,
  heightPoints,
  runningMean,
} from './data.ts';
import { axes, type Drawing, frame, type Mark, shownIn } from './drawing.ts';

/** A drawing, or the sentence why there is none. */
export type Drawn = Drawing | string;

/** Room of a height chart: thickest, tallest, in inches and feet; given where several must be comparable. */
export interface Reach {
  readonly diameterIn: number;
  readonly heightFt: number;
}

/** Heights against diameters of a species (null: of all), with the curve of it, or of the species of most trees. */
export function heightsDrawing(book: Book, species: number | null, reach?: Reach): Drawn {
  const points = heightPoints(book, species);
  if (points.length === 0) return 'No tree has both a diameter and a height yet.';
  const shown = shownIn(book.settings.now.units);
  // A curve belongs to a species: with all shown, to the one of most trees.
  const curved = species ?? commonest(book.trees());
  const most = reach?.diameterIn ?? Math.max(...points.map((at) => at.diameterIn)) * 1.15;
  const least = Math.max(1, Math.min(...points.map((at) => at.diameterIn)) * 0.6);
  const curve = curvePoints(book, curved, least, most);
  // A height in doubt may be absurd: it stands at the upper edge then, and does not flatten all others.
  const usual = Math.max(
    reach?.heightFt ?? 0,
    ...curve.map((at) => at.high),
    ...points.filter((at) => !at.doubted).map((at) => at.heightFt + at.sdFt),
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
  const pointMark = (point: HeightPoint): Mark => {
    // Absurd ones stand in rows below each other, so that their labels do not meet.
    const row = upper.indexOf(point) % 3;
    const [cx, cy] = [dx(point.diameterIn), absurd(point) ? frame.top + 12 + 20 * row : fy(point.heightFt)];
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
            // At the right edge the number stands before its square.
            cx > frame.width - frame.right - 9 * label.length
              ? { mark: 'text', at: [cx - 10, cy + 5], anchor: 'end', text: label }
              : { mark: 'text', at: [cx + 10, cy + 5], text: label },
          ]
        : [error, { mark: 'circle', at: [cx, cy], r: 4.5 }],
    };
  };
  const name = wording.speciesName(curved);
  const ofOne = species === null ? '' : `, ${name}`;
  return {
    ...frame,
    title: `Height against diameter${ofOne}`,
    says: `${wording.sentence(wording.treeCount(points.length))}; the line is what ${name} is expected to have here, nine in ten trees between the limits.${
      doubts.length > 0
        ? ` In doubt, as open squares: tree ${wording.list(doubts.map((at) => String(at.tree)))}.`
        : ''
    }`,
    marks: [
      { mark: 'path', style: 'band', d: band(curve) ?? '' },
      axes({ x, y, xName: `diameter, ${shown.diameter}`, yName: `height, ${shown.length}` }),
      { mark: 'path', style: 'curve', d: middle(curve) ?? '' },
      ...points.map(pointMark),
    ],
  };
}

/** Fewest heights of a species that are worth a chart of its own, and most charts on one sheet. */
const fewest = 3;
const mostCharts = 4;

/** For paper, where none can be chosen: a chart for each species of three heights and more, alike in scale; else one of all. */
export function heightDrawings(book: Book): Drawn[] {
  const points = heightPoints(book, null);
  const counts = new Map<number, number>();
  for (const { tree } of points) {
    const species = book.treeNumbered(tree)?.species ?? null;
    if (species !== null) counts.set(species, (counts.get(species) ?? 0) + 1);
  }
  const own = [...counts].filter(([, n]) => n >= fewest).sort((a, b) => b[1] - a[1]);
  if (own.length < 2) return [heightsDrawing(book, null)];
  const reach = {
    diameterIn: Math.max(...points.map((at) => at.diameterIn)) * 1.1,
    heightFt: Math.max(...points.filter((at) => !at.doubted).map((at) => at.heightFt + at.sdFt)),
  };
  return own.slice(0, mostCharts).map(([species]) => heightsDrawing(book, species, reach));
}

/** Counted trees in classes of two inches or five centimetres, the dead hatched. */
export function diametersDrawing(book: Book, species: number | null): Drawn {
  const shown = shownIn(book.settings.now.units);
  const classes = diameterClasses(book, species, shown.metric ? 5 / centimetresPerInch : 2);
  if (classes.length === 0) return 'No tree has a diameter yet.';
  const x = scaleLinear(
    [classes[0]!.from * shown.perInch, classes.at(-1)!.to * shown.perInch],
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
  const last = means.at(-1)!;
  const top = Math.max(...means.map((at) => at.mean * 1.6), last.high ?? 0, 1) * factor;
  const x = scaleLinear([1, Math.max(2, means.length)], [frame.left + 12, frame.width - frame.right - 8]);
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
