/**
 * The map of the plots as coordinates to draw: the page and the report draw the same one. No tiles, no ground: points
 * with the circle in which they are likely to lie, the ways between plots, a scale bar, north.
 */

import { bearing, distance, type Place, type Plane, planeOf } from '../../core/plane.ts';
import { required } from '../../core/required.ts';
import { err, ok, type Result } from '../../core/result.ts';
import { metresPerFoot, type Units } from '../../core/units.ts';

/** A plot or a tree with a position. */
export interface Spot extends Place {
  readonly id: string;
  readonly record: 'plot' | 'tree';
  readonly number: number;
  readonly stand: string | null;
  /** Radius of the circle in which it lies with 95 percent (W3C Geolocation, `accuracy`), metres. */
  readonly accuracyMetres: number;
}

export interface MapSize {
  /** Of the drawing, in its own units (SVG user units). */
  readonly width: number;
  readonly height: number;
  /** Kept free on each side of the points. */
  readonly margin: number;
  readonly units: Units;
  /** Size of the letters of the labels; 13 when not said. */
  readonly letters?: number;
}

interface DrawnSpot {
  readonly spot: Spot;
  readonly x: number;
  readonly y: number;
  /** Radius of the accuracy circle in the drawing. */
  readonly radius: number;
  /** Where the label is written, and from which end; trees have none. */
  readonly label: {
    readonly text: string;
    readonly x: number;
    readonly y: number;
    readonly anchor: 'start' | 'middle' | 'end';
  } | null;
}

/** The way from one plot to the next, straight. */
interface Leg {
  readonly from: Spot;
  readonly to: Spot;
  readonly metres: number;
  /** Of `metres`, with 95 percent: both accuracies together. */
  readonly giveOrTakeMetres: number;
  /** From the first to the second, degrees clockwise from true north. */
  readonly bearingDegrees: number;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  /** Its length in words, "220 ft", and where they are written; null where the line is too short for them. */
  readonly label: { readonly text: string; readonly x: number; readonly y: number } | null;
}

interface MapLayout {
  readonly width: number;
  readonly height: number;
  readonly plots: readonly DrawnSpot[];
  readonly trees: readonly DrawnSpot[];
  /** Plot to plot in the order of their numbers, stand by stand. */
  readonly legs: readonly Leg[];
  readonly scaleBar: {
    readonly x: number;
    readonly y: number;
    readonly length: number;
    /** Metres that it stands for. */
    readonly metres: number;
    readonly text: string;
  };
  /** An arrow from its foot up to its head: north is up. */
  readonly north: { readonly x: number; readonly foot: number; readonly head: number };
  readonly metresPerUnit: number;
}

/** Beyond this from the middle a plane is no longer true to a ten-thousandth, metres. */
const furthest = 100_000;
/** The least that a map spans, metres: one plot is not drawn as if the wood were a metre wide. */
const leastSpan = 40;

/**
 * Lays out a map; the sentence to show where there is nothing to draw.
 *
 * @example
 * layOut([], { width: 420, height: 360, margin: 36, units: 'feet' }).ok // false
 */
export function layOut(spots: readonly Spot[], size: MapSize): Result<MapLayout, string> {
  const plane = planeOf(spots);
  if (plane === null)
    return err('No plot has a position yet. Turn the position on in Setup before a plot is begun.');
  const points = new Map(spots.map((spot) => [spot.id, plane.at(spot)]));
  const all = [...points.values()];
  if (all.some((point) => distance(point, { east: 0, north: 0 }) > furthest))
    return err('The positions lie more than 200 kilometres apart: no flat map shows them truly.');

  const easts = all.map((point) => point.east);
  const norths = all.map((point) => point.north);
  const span = { east: spread(easts), north: spread(norths) };
  // Circles are shown whole where they do not shrink the plots to a heap.
  const wide = Math.max(span.east, span.north, leastSpan);
  const halo = Math.min(Math.max(...spots.map((spot) => spot.accuracyMetres)), wide / 2);
  const [across, up] = [size.width - 2 * size.margin, size.height - 2 * size.margin];
  const perUnit = Math.max(
    Math.max(span.east + 2 * halo, leastSpan) / across,
    Math.max(span.north + 2 * halo, leastSpan) / up,
  );
  const middle = { east: middleOf(easts), north: middleOf(norths) };
  const draw = (spot: Spot) => {
    const point = required(points.get(spot.id), 'the point of a plot');
    return {
      x: size.width / 2 + (point.east - middle.east) / perUnit,
      y: size.height / 2 - (point.north - middle.north) / perUnit,
    };
  };
  const radiusOf = (spot: Spot): number => spot.accuracyMetres / perUnit;
  const plots = spots.filter((spot) => spot.record === 'plot');
  const letters = size.letters ?? 13;
  const taken: Box[] = plots.map((spot) => boxAround(draw(spot), 8, 8));
  const bar = scaleBar(perUnit, size);
  taken.push({ left: bar.x, right: bar.x + bar.length, top: bar.y - letters - 8, bottom: bar.y + 4 });
  const north = { x: size.width - 18, foot: 52, head: 14 };
  taken.push({ left: north.x - 12, right: north.x + 12, top: 0, bottom: north.foot });
  const drawn = plots.map((spot): DrawnSpot => {
    const at = draw(spot);
    return {
      spot,
      ...at,
      radius: radiusOf(spot),
      label: placeLabel(String(spot.number), at, letters, taken, size),
    };
  });
  return ok({
    width: size.width,
    height: size.height,
    plots: drawn,
    trees: spots
      .filter((spot) => spot.record === 'tree')
      .map((spot) => ({ spot, ...draw(spot), radius: radiusOf(spot), label: null })),
    legs: legsOf(plots, plane, draw, { letters, units: size.units }, taken),
    scaleBar: bar,
    north,
    metresPerUnit: perUnit,
  });
}

/** A length for the map, two figures: "220 ft", "67 m", "1.4 km", "2.3 mi". */
export function mapLength(metres: number, units: Units): string {
  if (units === 'metres')
    return metres < 1000 ? `${twoFigures(metres)} m` : `${twoFigures(metres / 1000)} km`;
  const feet = metres / metresPerFoot;
  return feet < feetPerMile ? `${twoFigures(feet)} ft` : `${twoFigures(feet / feetPerMile)} mi`;
}

/** International mile: 5280 ft, exact. */
const feetPerMile = 5280;

function twoFigures(value: number): string {
  if (value === 0) return '0';
  const step = 10 ** Math.max(-1, Math.floor(Math.log10(value)) - 1);
  return String(Number((Math.round(value / step) * step).toFixed(1)));
}

function legsOf(
  plots: readonly Spot[],
  plane: Plane,
  draw: (spot: Spot) => { readonly x: number; readonly y: number },
  write: { readonly letters: number; readonly units: Units },
  taken: Box[],
): Leg[] {
  const legs: Leg[] = [];
  for (const stand of new Set(plots.map((plot) => plot.stand))) {
    const inOrder = plots.filter((plot) => plot.stand === stand).sort((a, b) => a.number - b.number);
    for (const [at, to] of inOrder.entries()) {
      const from = inOrder[at - 1];
      if (from === undefined) continue;
      const [a, b] = [plane.at(from), plane.at(to)];
      const metres = distance(a, b);
      const [start, end] = [draw(from), draw(to)];
      const text = mapLength(metres, write.units);
      const middle = { x: (start.x + end.x) / 2, y: (start.y + end.y) / 2 };
      const box = boxAround(middle, (text.length * write.letters) / 3.2, write.letters * 0.6);
      const fits = Math.hypot(end.x - start.x, end.y - start.y) > 24 + text.length * write.letters * 0.6;
      const free = fits && !taken.some((other) => overlap(box, other));
      if (free) taken.push(box);
      legs.push({
        from,
        to,
        metres,
        giveOrTakeMetres: Math.hypot(from.accuracyMetres, to.accuracyMetres),
        bearingDegrees: bearing(a, b),
        x1: start.x,
        y1: start.y,
        x2: end.x,
        y2: end.y,
        label: free ? { text, x: middle.x, y: middle.y + write.letters * 0.35 } : null,
      });
    }
  }
  return legs;
}

/** One, two or five times a power of ten, about a quarter of the width. */
function scaleBar(perUnit: number, { width, height, units }: MapSize): MapLayout['scaleBar'] {
  const most = (width / 3.2) * perUnit;
  const unit =
    units === 'metres' ? 1 : most / metresPerFoot < feetPerMile ? metresPerFoot : feetPerMile * metresPerFoot;
  const power = 10 ** Math.floor(Math.log10(most / unit));
  const step = [5, 2, 1].find((one) => one * power * unit <= most) ?? 1;
  const metres = step * power * unit;
  const text =
    units === 'metres'
      ? metres < 1000
        ? `${step * power} m`
        : `${metres / 1000} km`
      : `${Number((step * power).toPrecision(1))} ${unit === metresPerFoot ? 'ft' : 'mi'}`;
  return { x: 14, y: height - 14, length: metres / perUnit, metres, text };
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const boxAround = (at: { readonly x: number; readonly y: number }, half: number, tall: number): Box => ({
  left: at.x - half,
  right: at.x + half,
  top: at.y - tall,
  bottom: at.y + tall,
});

const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/** The first free place around a point: right, left, above, below; right where none is free. */
function placeLabel(
  text: string,
  at: { readonly x: number; readonly y: number },
  letters: number,
  taken: Box[],
  size: MapSize,
): NonNullable<DrawnSpot['label']> {
  const wide = text.length * letters * 0.62;
  const places = [
    { x: at.x + 10, y: at.y + letters * 0.35, anchor: 'start' as const, left: at.x + 10 },
    { x: at.x - 10, y: at.y + letters * 0.35, anchor: 'end' as const, left: at.x - 10 - wide },
    { x: at.x, y: at.y - 11, anchor: 'middle' as const, left: at.x - wide / 2 },
    { x: at.x, y: at.y + 10 + letters * 0.8, anchor: 'middle' as const, left: at.x - wide / 2 },
  ];
  const boxOf = (place: (typeof places)[number]): Box => ({
    left: place.left,
    right: place.left + wide,
    top: place.y - letters * 0.8,
    bottom: place.y + letters * 0.2,
  });
  const free = (place: (typeof places)[number]): boolean => {
    const box = boxOf(place);
    return (
      box.left > 0 &&
      box.right < size.width &&
      box.top > 0 &&
      box.bottom < size.height &&
      !taken.some((other) => overlap(box, other))
    );
  };
  const place = places.find(free) ?? places[0]!;
  taken.push(boxOf(place));
  return { text, x: place.x, y: place.y, anchor: place.anchor };
}

const spread = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
const middleOf = (values: readonly number[]): number => (Math.max(...values) + Math.min(...values)) / 2;
