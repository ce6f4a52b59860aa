/** The sketch of an edge with its planned plots: to scale, north up. */
import type { Book } from '../../book/book.ts';
import type { PlanePoint } from '../../land/error-ellipse.ts';
import { ringsOf } from '../../land/polygon.ts';
import * as wording from '../../wording/wording.ts';
import { cornersOf, type GroundShown } from '../files/grounds.ts';
import type { DrawnPoint, Mark } from './drawing.ts';
import type { Drawn } from './drawings.ts';
import { fitted, groundSheet, scaleAndNorth } from './ground.ts';
import { Labels } from './labels.ts';

export function edgeDrawing(book: Book, shown: GroundShown): Drawn {
  const { units, declination } = book.settings.now;
  const { ground, closed, plots } = shown;
  const corners = cornersOf(shown);
  if (corners.length < 3) return shown.why ?? 'There is no edge to draw.';
  const rings = ground === null ? [corners] : ringsOf(ground.outline);
  const before =
    closed === null || closed.misclosure.feet < 0.5 ? [] : [...closed.cornersBefore, endOf(closed)];
  const fit = fitted([...rings.flat(), ...before, ...plots.map(({ at }) => at)]);
  const draw = (at: PlanePoint): DrawnPoint => [fit.x(at), fit.y(at)];
  const path = (ring: readonly PlanePoint[], close: boolean): string =>
    `M${ring.map((at) => draw(at).join(' ')).join('L')}${close ? 'Z' : ''}`;
  const labels = new Labels({
    points: plots.map(({ at }) => draw(at)),
    reach: 8,
    left: 0,
    right: groundSheet.width,
    top: 0,
    bottom: groundSheet.height - 26,
  });
  const turned = closed !== null && declination === null ? ' North is that of the needle.' : ' North is up.';
  const left = plots.filter(({ taken }) => taken === null).length;
  return {
    title: shown.name === null ? 'The edge' : `The edge of ${wording.placeName(shown.name)}`,
    says: `${closed === null ? 'As it was brought in' : `Walked in ${closed.rows.length} legs, after adjustment${before.length > 0 ? '; as it was walked, dashed' : ''}`}${
      plots.length === 0
        ? ''
        : `; ${wording.plotCount(plots.length)} planned${left === 0 ? ', all taken' : `, ${left} of them not taken (open circles)`}`
    }.${turned} Not a survey.`,
    width: groundSheet.width,
    height: groundSheet.height,
    marks: [
      {
        mark: 'box',
        style: 'leaf',
        at: [1, 1],
        width: groundSheet.width - 2,
        height: groundSheet.height - 2,
      },
      ...(before.length === 0
        ? []
        : [{ mark: 'path', style: 'leg dashed', d: path(before, false) } as const]),
      ...rings.map((ring): Mark => ({ mark: 'path', style: 'curve', d: path(ring, true) })),
      ...(closed === null ? [] : legNumbers(closed, shown.walk, draw)),
      ...plots.map(
        (plot): Mark => ({
          mark: 'group',
          style: plot.taken === null ? 'plot bare' : 'plot',
          title: `Plot ${plot.number}`,
          marks: [
            { mark: 'circle', style: 'spot', at: draw(plot.at), r: 5 },
            ...labels.place(draw(plot.at), String(plot.number)),
          ],
        }),
      ),
      ...scaleAndNorth(fit.feetPerUnit, units),
    ],
  };
}

function endOf({ cornersBefore, misclosure }: NonNullable<GroundShown['closed']>): PlanePoint {
  const start = cornersBefore[0]!;
  return { eastFt: start.eastFt + misclosure.eastFt, northFt: start.northFt + misclosure.northFt };
}

/** The number of each leg beside its middle, on the outer side; and where the walk began. */
function legNumbers(
  { corners, clockwise }: NonNullable<GroundShown['closed']>,
  walk: GroundShown['walk'],
  draw: (at: PlanePoint) => DrawnPoint,
): Mark[] {
  const out = clockwise ? -1 : 1;
  const numbers = corners.map((from, i): Mark => {
    const [x1, y1] = draw(from);
    const [x2, y2] = draw(corners[(i + 1) % corners.length]!);
    const length = Math.max(1, Math.hypot(x2 - x1, y2 - y1));
    // On paper north is up, so an anticlockwise walk has its outer side on the right hand.
    const [dx, dy] = [(-(y2 - y1) / length) * 12 * out, ((x2 - x1) / length) * 12 * out];
    const text = String(walk?.legs[i]?.number ?? i + 1);
    return {
      mark: 'text',
      style: 'length',
      at: [(x1 + x2) / 2 + dx, (y1 + y2) / 2 + dy + 4],
      anchor: 'middle',
      text,
    };
  });
  const [x, y] = draw(corners[0]!);
  return [...numbers, { mark: 'box', style: 'peg', at: [x - 5, y - 5], width: 10, height: 10 }];
}
