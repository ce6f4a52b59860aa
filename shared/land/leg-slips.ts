/**
 * Slips of a traverse: the ways in which one leg comes to be said, counted or read wrong, and which of them explains the
 * misclosure best. Each slip is one row: a prior weight, and what was meant. As with heights, the score of a slip is its prior
 * times how well the walk closes with it; posteriors rank, and are not read out.
 */
import { misheard, type NumberSlip } from '../core/misheard-numbers.ts';
import { keysOf } from '../core/tables.ts';
import { feetToMetres, plain, type Units } from '../core/units.ts';
import { azimuthOf, bearingWords, readBearing, type SaidBearing, turnBetween } from './bearing.ts';
import { covarianceOf, type Located, sdsAway } from './error-ellipse.ts';
import { type Leg, type LegSettings, readLeg, type SaidLeg, type Walker } from './leg.ts';
import { crossingLegs, endWith, followLegs, lengthOf, type Misclosure, misclosureAt } from './traverse.ts';

/** What a leg may have been, its share of the slip's weight among all that the slip can give. */
interface Meant {
  readonly said: SaidLeg;
  readonly walker: Walker;
  readonly share: number;
}

interface SlipOfLeg {
  readonly of: 'leg';
  /**
   * Weight relative to the other slips. Nothing published says how often legs are said wrong; set by judgement: losing count
   * of a ten and reading the needle's other end are what handbooks warn of.
   */
  readonly weight: number;
  readonly meant: (leg: Leg, others: readonly Walker[]) => readonly Meant[];
  /** "the other way": what the leg would be. */
  readonly words: (meant: Meant, leg: Leg) => string;
}
/** A slip of the whole walk. */
interface SlipOfAll {
  readonly of: 'all';
  readonly weight: number;
  readonly words: string;
}

const distanceWords = ({ said: { distance } }: Meant): string =>
  distance.by === 'length'
    ? `with ${plain(distance.length.value)}`
    : `with ${plain(distance.count)} ${distance.by}`;
const atBearing = ({ said }: Meant): string => `at ${bearingWords(said.bearing).replace(/^bearing /, '')}`;

const table = {
  tenDropped: { of: 'leg', weight: 1, meant: (leg) => withCount(leg, 10), words: distanceWords },
  tenDoubled: { of: 'leg', weight: 0.6, meant: (leg) => withCount(leg, -10), words: distanceWords },
  distanceTeenTy: {
    of: 'leg',
    weight: 0.8,
    meant: (leg) => withDistance(leg, heardAs('teenTy')(distanceOf(leg.said))),
    words: distanceWords,
  },
  distanceSwapped: {
    of: 'leg',
    weight: 0.4,
    meant: (leg) => withDistance(leg, heardAs('swapped')(distanceOf(leg.said))),
    words: distanceWords,
  },
  bearingReversed: {
    of: 'leg',
    weight: 1,
    meant: (leg) => withBearings(leg, [reversed(leg.said.bearing)]),
    words: () => 'the other way',
  },
  quadrantNorthSouth: {
    of: 'leg',
    weight: 0.6,
    meant: (leg) => withBearings(leg, otherQuadrant(leg.said.bearing, 'from')),
    words: atBearing,
  },
  quadrantEastWest: {
    of: 'leg',
    weight: 0.6,
    meant: (leg) => withBearings(leg, otherQuadrant(leg.said.bearing, 'towards')),
    words: atBearing,
  },
  bearingTen: {
    of: 'leg',
    weight: 0.6,
    meant: (leg) => withDegrees(leg, (degrees) => [degrees - 10, degrees + 10]),
    words: atBearing,
  },
  bearingHundred: {
    of: 'leg',
    weight: 0.5,
    meant: (leg) => withDegrees(leg, (degrees) => [degrees - 100, degrees + 100]),
    words: atBearing,
  },
  bearingTeenTy: {
    of: 'leg',
    weight: 0.8,
    meant: (leg) => withDegrees(leg, heardAs('teenTy')),
    words: atBearing,
  },
  bearingSwapped: {
    of: 'leg',
    weight: 0.4,
    meant: (leg) => withDegrees(leg, heardAs('swapped')),
    words: atBearing,
  },
  otherWalker: {
    of: 'leg',
    weight: 0.2,
    meant: (leg, others) =>
      leg.by !== 'paced'
        ? []
        : others
            .filter(({ name }) => name !== leg.walker.name)
            .map((walker, _, all) => ({ said: leg.said, walker, share: 1 / all.length })),
    words: ({ walker }) => `by the paces of ${walker.name}`,
  },
  declinationSign: { of: 'all', weight: 0.5, words: 'With the declination of the other sign' },
} as const satisfies Record<string, SlipOfLeg | SlipOfAll>;

type LegSlip = keyof typeof table;
const legSlips: Readonly<Record<LegSlip, SlipOfLeg | SlipOfAll>> = table;
const legSlipKeys = keysOf(table);

/** Prior chance of a slip of weight 1 in one leg, and of something wrong that is no slip of the table; by judgement. */
const chancePerWeight = 0.004;
const otherChance = 0.01;

export interface LegSlipCause {
  readonly slip: LegSlip;
  /** From 1; null where all legs change. */
  readonly leg: number | null;
  /** The leg as it should have been said, and whose paces; of the first leg where all change. */
  readonly meant: SaidLeg;
  readonly walker: Walker;
  /** What the walk then closes to. */
  readonly misclosure: Misclosure;
  readonly posterior: number;
  /** "the other way" */
  readonly words: string;
}

interface LegSlipPosterior {
  readonly asSaid: number;
  readonly other: number;
  /** Likeliest first. */
  readonly causes: readonly LegSlipCause[];
}

/**
 * Weighs every slip of every leg against the legs as said, by how well the walk would close. `others` are people whose paces
 * the legs may have been. Nothing is changed.
 */
export function weighLegs(
  legs: readonly Leg[],
  settings: LegSettings,
  others: readonly Walker[] = [],
): LegSlipPosterior {
  const walked = followLegs(legs).end;
  const lengthFt = lengthOf(legs);
  const found: Weighed[] = [];
  for (const [i, leg] of legs.entries()) {
    for (const { slip, row, meant } of meantOf(leg, others)) {
      const read = readLeg(meant.said, meant.walker, settings);
      if (!read.ok) continue;
      const end = endWith(walked, leg, read.value);
      const { said, walker } = meant;
      found.push({
        cause: { slip, leg: i + 1, meant: said, walker, words: row.words(meant, leg) },
        end,
        lengthFt: lengthFt - leg.feet + read.value.feet,
        legs: () => legs.with(i, read.value),
        log: Math.log(chancePerWeight * row.weight * meant.share) + logClosing(end),
      });
    }
  }
  const turned = otherDeclination(legs, settings);
  if (turned !== null) {
    const { weight, words } = table.declinationSign;
    const [{ said, walker }] = legs as readonly [Leg, ...Leg[]];
    const { end } = followLegs(turned);
    found.push({
      cause: { slip: 'declinationSign', leg: null, meant: said, walker, words },
      end,
      lengthFt,
      legs: () => turned,
      log: Math.log(chancePerWeight * weight) + logClosing(end),
    });
  }
  found.sort((a, b) => b.log - a.log);
  for (const one of found.slice(0, mostLookedAt)) one.log += logShape(one.legs());
  found.sort((a, b) => b.log - a.log);
  const logAsSaid = logClosing(walked) + logShape(legs);
  // Something else leads anywhere within a quarter of the perimeter.
  const logOther = Math.log(otherChance) - Math.log(Math.PI * Math.max(1, lengthFt / 4) ** 2);
  const most = Math.max(logAsSaid, logOther, found[0]?.log ?? logOther);
  const whole =
    found.reduce((sum, { log }) => sum + Math.exp(log - most), 0) +
    Math.exp(logAsSaid - most) +
    Math.exp(logOther - most);
  return {
    asSaid: Math.exp(logAsSaid - most) / whole,
    other: Math.exp(logOther - most) / whole,
    causes: found.map(({ cause, end, log, lengthFt: length }) => ({
      ...cause,
      misclosure: misclosureAt(end, length),
      posterior: Math.exp(log - most) / whole,
    })),
  };
}

interface Weighed {
  readonly cause: Omit<LegSlipCause, 'posterior' | 'misclosure'>;
  /** Where the walk ends by it, how long it is, its legs. */
  readonly end: Located;
  readonly lengthFt: number;
  readonly legs: () => readonly Leg[];
  log: number;
}

/** Of the likeliest so many the whole edge is looked at, whether it crosses itself: that takes long with many legs. */
const mostLookedAt = 30;

/** "Leg 4 the other way would close to 6 feet." */
export function legSlipSentence({ leg, words, misclosure }: LegSlipCause, units: Units): string {
  const { feet } = misclosure;
  const rounded =
    units === 'metres'
      ? `${plain(Math.round(feetToMetres(feet) * 10) / 10)} metres`
      : `${plain(Math.round(feet))} ${Math.round(feet) === 1 ? 'foot' : 'feet'}`;
  return `${leg === null ? words : `Leg ${leg} ${words}`} would close to ${rounded}.`;
}

/** All that a leg may have been; what two slips both give is the likelier's. */
function meantOf(leg: Leg, others: readonly Walker[]) {
  const found = new Map<string, { slip: LegSlip; row: SlipOfLeg; meant: Meant }>();
  for (const slip of legSlipKeys) {
    const row = legSlips[slip];
    if (row.of !== 'leg') continue;
    for (const meant of row.meant(leg, others)) {
      const key = JSON.stringify([meant.said, meant.walker.name]);
      const before = found.get(key);
      if (before !== undefined && before.row.weight * before.meant.share >= row.weight * meant.share)
        continue;
      found.set(key, { slip, row, meant });
    }
  }
  return found.values();
}

/** An edge that crosses itself is rarely walked, nor one that turns back on itself: parts of all edges, by judgement. */
const crossingPart = 0.02;
const turningBackPart = 0.15;
/** A corner sharper than this turns back, degrees. */
const sharpDegrees = 35;

/** Logarithm of how rarely an edge of such a shape is walked: nought where it is like most. */
function logShape(legs: readonly Leg[]): number {
  const corners = followLegs(legs)
    .stations.slice(0, -1)
    .map(({ at }) => at);
  const crosses = crossingLegs(corners).length > 0 ? Math.log(crossingPart) : 0;
  let back = 0;
  for (const [i, { azimuth }] of legs.entries()) {
    const next = legs[(i + 1) % legs.length]!.azimuth;
    if (Math.abs(turnBetween(azimuth, next)) > 180 - sharpDegrees) back++;
  }
  return crosses + back * Math.log(turningBackPart);
}

/** Logarithm of the density of a misclosure under the errors of its legs. */
function logClosing(end: Located): number {
  const covariance = covarianceOf(end);
  const { eastEast, eastNorth, northNorth } = covariance;
  const determinant = Math.max(1e-12, eastEast * northNorth - eastNorth * eastNorth);
  return -(sdsAway(end.at, covariance) ** 2) / 2 - Math.log(2 * Math.PI) - Math.log(determinant) / 2;
}

/** The legs with the declination's sign changed; null where that only turns the figure, or none is known. */
export function otherDeclination(legs: readonly Leg[], settings: LegSettings): readonly Leg[] | null {
  const { declination } = settings;
  if (declination === null || declination === 0) return null;
  const turned: Leg[] = [];
  for (const { said, walker } of legs) {
    const read = readLeg(said, walker, { ...settings, declination: -declination });
    if (!read.ok) return null;
    turned.push(read.value);
  }
  const turns = new Set(turned.map((leg, i) => Math.round(azimuthOf(leg.azimuth - legs[i]!.azimuth) * 1e6)));
  return turns.size > 1 ? turned : null;
}

const distanceOf = ({ distance }: SaidLeg): number =>
  distance.by === 'length' ? distance.length.value : distance.count;

function withDistance(leg: Leg, values: readonly number[]): Meant[] {
  const { said, walker } = leg;
  return values
    .filter((value) => value > 0)
    .map((value, _, all) => ({
      said: {
        ...said,
        distance:
          said.distance.by === 'length'
            ? { ...said.distance, length: { ...said.distance.length, value } }
            : { ...said.distance, count: value },
      },
      walker,
      share: 1 / all.length,
    }));
}

/** Counts are lost and doubled by tens. */
const withCount = (leg: Leg, more: number): Meant[] =>
  leg.by === 'paced' ? withDistance(leg, [distanceOf(leg.said) + more]) : [];

function withBearings({ said, walker }: Leg, bearings: readonly SaidBearing[]): Meant[] {
  return bearings
    .filter((bearing) => readBearing(bearing).ok)
    .map((bearing, _, all) => ({ said: { ...said, bearing }, walker, share: 1 / all.length }));
}

/** The same kind of bearing with other degrees, those that can be. */
function withDegrees(leg: Leg, others: (degrees: number) => readonly number[]): Meant[] {
  const { bearing } = leg.said;
  if (bearing.by === 'due') return [];
  return withBearings(
    leg,
    others(bearing.degrees).map((degrees) => ({ ...bearing, degrees })),
  );
}

const opposite = { north: 'south', south: 'north', east: 'west', west: 'east' } as const;

function reversed(bearing: SaidBearing): SaidBearing {
  if (bearing.by === 'azimuth') return { by: 'azimuth', degrees: azimuthOf(bearing.degrees + 180) };
  if (bearing.by === 'due') return { by: 'due', towards: opposite[bearing.towards] };
  return { ...bearing, from: opposite[bearing.from], towards: opposite[bearing.towards] };
}

function otherQuadrant(bearing: SaidBearing, part: 'from' | 'towards'): SaidBearing[] {
  if (bearing.by !== 'quadrant') return [];
  return part === 'from'
    ? [{ ...bearing, from: opposite[bearing.from] }]
    : [{ ...bearing, towards: opposite[bearing.towards] }];
}

/** What a number of a slip of hearing may have been. */
const heardAs =
  (slip: NumberSlip) =>
  (value: number): readonly number[] =>
    misheard(value).flatMap((each) => (each.slip === slip ? [each.value] : []));
