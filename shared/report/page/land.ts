/** Of the report: edges with their legs and adjustment, plans beside what was taken, and what the wood is worth. */

import type { Book } from '../../book/book.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { areaWords, missWords, noSurvey } from '../../dialogue/land/closing.ts';
import { azimuthTo, feetBetween } from '../../land/error-ellipse.ts';
import { logRules, usualLogRule } from '../../note/log-rules.ts';
import { type Worth, worthOf } from '../../totals/prices.ts';
import { legWords } from '../../wording/ground.ts';
import * as wording from '../../wording/wording.ts';
import type { Drawing } from '../charts/drawing.ts';
import { shownIn } from '../charts/drawing.ts';
import { edgeDrawing } from '../charts/edge-sketch.ts';
import { type GroundShown, groundsOf } from '../files/grounds.ts';
import type { Section } from './sections.ts';

export function landSections(book: Book): Section[] {
  const grounds = groundsOf(book);
  return [
    ...grounds.map((shown) => edgeSection(book, shown)),
    ...grounds.flatMap((shown) => planSection(book, shown) ?? []),
    ...(book.land.prices.length === 0 ? [] : [worthSection(book)]),
  ];
}

const nameOf = ({ name }: GroundShown): string => (name === null ? '' : `, ${wording.placeName(name)}`);

function edgeSection(book: Book, shown: GroundShown): Section {
  const { closed, ground, walk, why } = shown;
  const { units, declination } = book.settings.now;
  const drawn = edgeDrawing(book, shown);
  const drawings: Drawing[] = typeof drawn === 'string' ? [] : [drawn];
  const heading = `Edge${nameOf(shown)}`;
  const area =
    ground === null ? (why ?? '') : `${wording.sentence(areaWords(ground.acres, ground.sdAcres, units))}.`;
  if (closed === null || walk === null) {
    const lines = [walk === null ? `Brought in as a polygon: ${area}` : area];
    return { heading, lines, drawings, notes: [noSurvey] };
  }
  const { perFoot, length } = shownIn(units);
  const shows = (feet: number): string => signed(feet * perFoot);
  const rows = closed.rows.map((row, i) => [
    String(walk.legs[i]!.number),
    legWords(walk.legs[i]!.said),
    (row.leg.feet * perFoot).toFixed(1),
    shows(row.latitude),
    shows(row.departure),
    shows(row.latitudeCorrection),
    shows(row.departureCorrection),
    row.azimuth.toFixed(1),
    (row.feet * perFoot).toFixed(1),
  ]);
  const { misclosure, perimeterFt, acresBefore, area: found } = closed;
  const expected = wording.length(misclosure.expectedFt, units, 1);
  return {
    heading,
    lines: [
      `Round ${wording.length(perimeterFt, units, 1)}; it misses by ${missWords(misclosure, book.settings.now)}. Paces and bearings explain about ${expected}${misclosure.explained ? '' : ': it closes worse than that'}.`,
      `${area} Before adjustment ${areaWords(acresBefore, null, units)}.${paceLine(found)}`,
    ],
    table: {
      head: [
        'leg',
        'as said',
        `level, ${length}`,
        `latitude, ${length}`,
        `departure, ${length}`,
        'correction north',
        'correction east',
        'adjusted bearing',
        `adjusted, ${length}`,
      ],
      rows,
      wide: true,
    },
    drawings,
    notes: [
      `Latitude: how far a leg leads north; departure: east. Bearings are from ${declination === null ? 'magnetic north, as no declination was said' : 'true north'}.`,
      'Adjusted by the compass rule, each leg by its length (Bowditch 1808, from memory); area by coordinates; errors propagated to first order.',
      noSurvey,
    ],
  };
}

/** Minus as it is printed, so that columns stand right. */
const signed = (value: number): string =>
  value
    .toFixed(1)
    .replace(/^-0\.0$/, '0.0')
    .replace('-', '−');

function paceLine({ acres, sdAcres, paceSdAcres }: NonNullable<GroundShown['closed']>['area']): string {
  if (!(paceSdAcres > 0.1 * sdAcres)) return '';
  return ` The length of a pace alone makes it ${((100 * paceSdAcres) / acres).toFixed(1)} percent unsure; walking a known distance again is what helps.`;
}

function planSection(book: Book, shown: GroundShown): Section | null {
  const { plots, seed, ground } = shown;
  if (plots.length === 0) return null;
  const { units } = book.settings.now;
  const start = { eastFt: 0, northFt: 0 };
  const left = plots.filter(({ taken }) => taken === null).map(({ number }) => String(number));
  const crossing = plots.filter(({ crossesEdge }) => crossesEdge).map(({ number }) => String(number));
  const others = [...book.plots()].filter(
    ({ stand, number }) => stand === standOf(book, shown) && !plots.some((plot) => plot.number === number),
  );
  const rows = plots.map(({ number, at, toEdgeFt, crossesEdge, taken }) => [
    String(number),
    `${Math.round(azimuthTo(start, at)) % 360}`,
    wording.length(feetBetween(start, at), units, 1),
    `${wording.length(toEdgeFt, units, 1)}${crossesEdge ? ', crosses it' : ''}`,
    taken === null ? 'no' : taken.empty ? 'yes, empty' : 'yes',
  ]);
  const perPlot = ground === null ? null : ground.acres / plots.length;
  return {
    heading: `Plan${nameOf(shown)}`,
    lines: [
      `${wording.sentence(wording.plotCount(plots.length))} laid out by chance with the seed ${seed}${perPlot === null ? '' : `, one for ${areaWords(perPlot, null, units)}`}; ${left.length === 0 ? 'all were taken' : `${plots.length - left.length} were taken`}.`,
      ...(left.length === 0
        ? []
        : [
            `Left out: plot ${wording.list(left)}. The totals speak for what was taken: where plots are left out because they are hard to reach, they are biased, and no give-or-take shows by how much.`,
          ]),
      ...(others.length === 0
        ? []
        : [
            `Not of the plan: plot ${wording.list(others.map(({ number }) => String(number)))}. Places that were chosen by hand bias.`,
          ]),
      ...(crossing.length === 0 ? [] : [edgeLine(crossing, book.settings.now.edge)]),
    ],
    table: { head: ['plot', 'bearing from the start', 'distance', 'to the edge', 'taken'], rows },
  };
}

const edgeRules = {
  mirage: 'counted by the mirage method (Schmid-Haas 1969, from memory)',
  walkthrough: 'counted by walking through (Ducey et al. 2004, from memory)',
  none: 'no edge rule is set, so trees near the edge count too little',
} as const;

const edgeLine = (plots: readonly string[], rule: keyof typeof edgeRules): string =>
  `Over the edge: plot ${wording.list(plots)}; ${edgeRules[rule]}.`;

const standOf = (book: Book, { id, walk }: GroundShown): string | null =>
  walk?.stand ?? book.land.edges.find((edge) => edge.id === id)?.stand ?? null;

const unitNames = {
  thousand: 'thousand board feet',
  cord: 'cords',
  ton: 'tons',
  tonne: 'tonnes',
  cubicMetre: 'cubic metres',
  cunit: 'hundred cubic feet',
} as const;

function worthSection(book: Book): Section {
  const rule = book.settings.now.logRule ?? usualLogRule;
  const worth = worthOf(totalsOf(book), book.land.prices, {}, { rule });
  const lines = [worthLine(worth), ...worth.leftOut];
  if (worth.lines.length === 0) return { heading: 'Worth', lines };
  const rows = worth.lines.map(({ price, rule: by, volume, dollars: of, se, counted }) => [
    `${price.species.length === 0 ? 'all wood' : wording.list(price.species.map(wording.speciesName), 'or')}${price.product === null ? '' : `, ${price.product}`}`,
    `${wording.digits(price.dollars, 2)} for ${unitNames[price.per]}${by === null ? '' : `, ${logRules[by].name}`}`,
    wording.digits(volume, volume < 10 ? 2 : 1),
    dollars(of, se ?? of / 20),
    se === null ? '' : dollars(se, se),
    counted ? '' : 'not in the sum',
  ]);
  return {
    heading: 'Worth',
    lines,
    table: { head: ['wood', 'price, dollars', 'units', 'dollars', 'standard error', ''], rows, wide: true },
    notes: worth.assumed,
  };
}

function worthLine({ value, se, low, high }: Worth): string {
  if (value === null) return 'No worth can be reckoned yet.';
  const about = `About ${dollars(value, se ?? value / 20)} dollars`;
  return low === null || high === null || se === null
    ? `${about}; no give-or-take yet.`
    : `${about}, from ${dollars(low, se)} to ${dollars(high, se)} (95 percent limits). An estimate, not an appraisal.`;
}

/** Dollars to two figures of their error. */
function dollars(value: number, se: number): string {
  const step = se > 0 ? 10 ** Math.max(0, Math.floor(Math.log10(se)) - 1) : 1;
  return wording.thousands(Math.round(value / step) * step);
}
