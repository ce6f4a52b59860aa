/** The ground as a drawing: the edge as it was walked, planned plots and those that were taken, where a device is and its way. */

import type { Book } from '../../book/book.ts';
import { err, ok, type Result } from '../../core/result.ts';
import { metresPerFoot, type Units } from '../../core/units.ts';
import { groundInHand, legsOf, walkInHand, whereabouts } from '../../dialogue/land/ground.ts';
import { plansInForce } from '../../dialogue/land/plans.ts';
import type { PlanePoint } from '../../land/error-ellipse.ts';
import { covarianceOf, radialSd } from '../../land/error-ellipse.ts';
import { ringsOf } from '../../land/polygon.ts';
import { followLegs } from '../../land/traverse.ts';
import type { DeviceId } from '../../note/journal.ts';
import type { Mark } from './drawing.ts';
import type { Drawn } from './drawings.ts';
import { mapLength } from './map-layout.ts';

/** Room of the ground, on the page and in the report. */
export const groundSheet = { width: 420, height: 400, margin: 34 } as const;

/** Everything of the ground in hand, feet on one plane. */
interface Ground {
  /** Closed: the rings of the edge, after adjustment where it was walked; open: the corners so far. */
  readonly rings: readonly (readonly PlanePoint[])[];
  readonly walked: boolean;
  readonly closed: boolean;
  readonly plots: readonly { readonly number: number; readonly at: PlanePoint; readonly taken: boolean }[];
  readonly here: { readonly at: PlanePoint; readonly sdFt: number } | null;
  readonly to: PlanePoint | null;
}

function groundShown(book: Book, device: DeviceId): Result<Ground, string> {
  const made = groundInHand(book, device);
  const walk = walkInHand(book, device);
  const walked = walk !== null && !walk.closed ? walk : null;
  const open = walked && legsOf(book, walked);
  const id = walked?.id ?? (made.ok ? made.value.id : null);
  if (id === null) return err('No edge was walked yet. Say start a traverse, then each leg.');
  if (open && !open.ok) return err('The legs wait for the pace.');
  const rings = open?.ok
    ? [followLegs(open.value).stations.map(({ at }) => at)]
    : made.ok
      ? book.land.walks.has(id)
        ? [made.value.corners]
        : ringsOf(made.value.outline)
      : [];
  const where = whereabouts(book, device);
  const located = where?.ground === id ? where.located : null;
  return ok({
    rings,
    walked: book.land.walks.has(id),
    closed: !open,
    plots: plansInForce(book, device)
      .filter(({ ground }) => ground === id)
      .flatMap(({ plots, stand }) =>
        plots.map(({ number, at }) => ({ number, at, taken: book.plotNumbered(number, stand) !== null })),
      ),
    here: located && { at: located.at, sdFt: radialSd(covarianceOf(located)) },
    to: where?.ground === id ? (where.way?.to ?? null) : null,
  });
}

/** The drawing for who speaks on a device; a sentence where there is no ground yet. */
export function groundDrawing(book: Book, device: DeviceId): Drawn {
  const shown = groundShown(book, device);
  if (!shown.ok) return shown.error;
  const { units } = book.settingsOf(device);
  const { rings, walked, closed, plots, here, to } = shown.value;
  const all = [
    ...rings.flat(),
    ...plots.map(({ at }) => at),
    ...(here ? [here.at] : []),
    ...(to ? [to] : []),
  ];
  const draw = fitted(all);
  const line = (points: readonly PlanePoint[]): string =>
    points.map((point, i) => `${i === 0 ? 'M' : 'L'}${draw.x(point)} ${draw.y(point)}`).join('');
  const first = rings[0]?.[0];
  const taken = plots.filter((plot) => plot.taken).length;
  const marks: Mark[] = [
    { mark: 'box', style: 'leaf', at: [1, 1], width: groundSheet.width - 2, height: groundSheet.height - 2 },
    {
      mark: 'path',
      style: closed ? 'edge' : 'edge open',
      d: rings.map((ring) => `${line(ring)}${closed ? 'Z' : ''}`).join(''),
    },
    ...(first
      ? [
          {
            mark: 'box',
            style: 'peg',
            at: [draw.x(first) - 5, draw.y(first) - 5],
            width: 10,
            height: 10,
          } as const,
        ]
      : []),
    ...plots.map(
      ({ number, at, taken: done }): Mark => ({
        mark: 'group',
        style: done ? 'plot' : 'plot bare',
        title: `Plot ${number}`,
        marks: [
          { mark: 'circle', style: 'spot', at: [draw.x(at), draw.y(at)], r: 6 },
          { mark: 'text', at: [draw.x(at), draw.y(at) - 10], anchor: 'middle', text: String(number) },
        ],
      }),
    ),
    ...(here && to ? [{ mark: 'path', style: 'way', d: line([here.at, to]) } as const] : []),
    ...(here
      ? [
          {
            mark: 'group',
            style: 'here',
            title: 'Where you are',
            marks: [
              {
                mark: 'circle',
                style: 'unsure',
                at: [draw.x(here.at), draw.y(here.at)],
                r: Math.max(11, here.sdFt / draw.feetPerUnit),
              },
              { mark: 'circle', style: 'spot', at: [draw.x(here.at), draw.y(here.at)], r: 7 },
            ],
          } as const,
        ]
      : []),
    ...scaleAndNorth(draw.feetPerUnit, units),
  ];
  const edgeWords = !walked
    ? 'The edge as it was brought in'
    : closed
      ? 'The edge as it was walked, closed'
      : 'The edge as far as it was walked';
  const plotWords = plots.length === 0 ? '' : `; ${taken} of ${plots.length} planned plots taken (filled)`;
  const hereWords = here ? `; the ring is where you are by dead reckoning, the square is the start` : '';
  return {
    title: 'Edge and plots',
    says: `${edgeWords}${plotWords}${hereWords}. North is up. Not a survey.`,
    width: groundSheet.width,
    height: groundSheet.height,
    marks,
  };
}

/** From feet to the sheet, north up, all points inside. */
export function fitted(points: readonly PlanePoint[]) {
  const easts = points.map(({ eastFt }) => eastFt);
  const norths = points.map(({ northFt }) => northFt);
  const [west, east] = [Math.min(...easts), Math.max(...easts)];
  const [south, north] = [Math.min(...norths), Math.max(...norths)];
  const { width, height, margin } = groundSheet;
  const feetPerUnit = Math.max(
    (east - west) / (width - 2 * margin),
    (north - south) / (height - 2 * margin - 14),
    0.1,
  );
  const round = (value: number): number => Math.round(value * 10) / 10;
  return {
    feetPerUnit,
    x: ({ eastFt }: PlanePoint) => round(width / 2 + (eastFt - (west + east) / 2) / feetPerUnit),
    y: ({ northFt }: PlanePoint) => round(height / 2 - 7 - (northFt - (south + north) / 2) / feetPerUnit),
  };
}

export function scaleAndNorth(feetPerUnit: number, units: Units): Mark[] {
  const perUnit = units === 'metres' ? feetPerUnit * metresPerFoot : feetPerUnit;
  const most = (groundSheet.width / 3.2) * perUnit;
  const power = 10 ** Math.floor(Math.log10(most));
  const step = ([5, 2, 1].find((one) => one * power <= most) ?? 1) * power;
  const length = Math.round(step / perUnit);
  const [x, y] = [14, groundSheet.height - 12];
  const north = { x: groundSheet.width - 18, head: 12 };
  return [
    { mark: 'path', style: 'scalebar', d: `M${x} ${y - 6}v6h${length}v-6` },
    {
      mark: 'text',
      style: 'name',
      at: [x + length / 2, y - 8],
      anchor: 'middle',
      text: mapLength(units === 'metres' ? step : step * metresPerFoot, units),
    },
    { mark: 'path', style: 'north', d: `M${north.x} ${north.head}l7 22l-7 -5l-7 5z` },
    { mark: 'text', style: 'name', at: [north.x, north.head + 38], anchor: 'middle', text: 'N' },
  ];
}
