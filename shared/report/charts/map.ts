/** The map of the plots as a drawing: from the positions that the device had when each was opened, with north and scale. */
import type { Book } from '../../book/book.ts';
import { evenly } from './data.ts';
import type { Mark } from './drawing.ts';
import type { Drawn } from './drawings.ts';
import { layOut, mapLength, type Spot } from './map-layout.ts';

const sheet = { width: 420, height: 360, margin: 44, letters: 14 } as const;

/** Plots that a sheet shows: more lie over each other. */
const mostPlots = 200;

/** The plots that have a position: where the device was when each was opened. */
export function plotSpots(book: Book): Spot[] {
  return [...book.plots()].flatMap((plot): Spot[] => {
    const position = book.entry(plot.id)?.position;
    if (!position) return [];
    const { id, number, stand } = plot;
    const name = book.stands.get(stand ?? '')?.name ?? null;
    return [{ id, record: 'plot', number, stand: name, ...position }];
  });
}

export function mapDrawing(book: Book): Drawn {
  const { units } = book.settings.now;
  const plots = [...book.plots()];
  const all = plotSpots(book);
  const spots = [...evenly(all, mostPlots)];
  const laid = layOut(spots, { ...sheet, units });
  if (!laid.ok) return laid.error;
  const map = laid.value;
  const bare = new Set(plots.filter((plot) => plot.empty).map((plot) => plot.id));
  const worst = Math.max(...spots.map((spot) => spot.accuracyMetres));
  const off = plots.length - all.length;
  const { scaleBar: bar, north } = map;
  return {
    title: 'Where the plots are',
    says: `${all.length === 1 ? '1 plot' : `${all.length} plots`}${spots.length < all.length ? `, ${spots.length} of them drawn,` : ''} where the device was when each was opened, to within ${mapLength(worst, units)} by its own word (dashed circles)${bare.size > 0 ? '; empty ones are open circles' : ''}${
      off > 0 ? `; ${off} without a position ${off === 1 ? 'is' : 'are'} not shown` : ''
    }. North is up. Not a survey.`,
    width: map.width,
    height: map.height,
    marks: [
      { mark: 'box', style: 'leaf', at: [1, 1], width: map.width - 2, height: map.height - 2 },
      ...map.legs.flatMap((leg): Mark[] => [
        { mark: 'line', style: 'leg', from: [leg.x1, leg.y1], to: [leg.x2, leg.y2] },
        ...(leg.label === null
          ? []
          : [
              {
                mark: 'text',
                style: 'length',
                at: [leg.label.x, leg.label.y],
                anchor: 'middle',
                text: leg.label.text,
              } as const,
            ]),
      ]),
      ...map.plots.map(
        ({ spot, x, y, radius, label }): Mark => ({
          mark: 'group',
          style: bare.has(spot.id) ? 'plot bare' : 'plot',
          title: `Plot ${spot.number}`,
          marks: [
            { mark: 'circle', style: 'unsure', at: [x, y], r: radius },
            { mark: 'circle', style: 'spot', at: [x, y], r: 5 },
            ...(label === null
              ? []
              : [{ mark: 'text', at: [label.x, label.y], anchor: label.anchor, text: label.text } as const]),
          ],
        }),
      ),
      {
        mark: 'path',
        style: 'north',
        d: `M${north.x} ${north.head}l7 22l-7 -5l-7 5z`,
      },
      { mark: 'text', style: 'name', at: [north.x, north.foot - 2], anchor: 'middle', text: 'N' },
      {
        mark: 'path',
        style: 'scalebar',
        d: `M${bar.x} ${bar.y - 6}v6h${bar.length}v-6M${bar.x + bar.length / 2} ${bar.y}v-4`,
      },
      {
        mark: 'text',
        style: 'name',
        at: [bar.x + bar.length / 2, bar.y - 9],
        anchor: 'middle',
        text: bar.text,
      },
    ],
  };
}
