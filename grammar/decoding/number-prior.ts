/**
 * Numbers as they come up in a wood. A note whose numbers nobody meets is not forbidden, only a little less likely
 * to have been said than one that sounds the same and has usual numbers. Common practice, no source.
 */
import { type AngleUnit, areaToAcres, type LengthUnit, lengthToFeet } from '../../shared/core/units.ts';
import type { Distance, Measurement, Note } from '../../shared/note/note.ts';
import type { Length } from '../../shared/note/quantities.ts';

/** Middle of what is usual, and the factor either way within which two in three lie. */
interface Range {
  readonly middle: number;
  readonly factor: number;
}

const usual = {
  paces: { middle: 11, factor: 1.7 },
  steps: { middle: 22, factor: 1.7 },
  distanceFt: { middle: 60, factor: 1.7 },
  eyeFt: { middle: 5.4, factor: 1.12 },
  heightFt: { middle: 75, factor: 1.6 },
  diameterIn: { middle: 13, factor: 1.8 },
  paceFt: { middle: 4.5, factor: 1.4 },
  plotAcres: { middle: 0.1, factor: 3 },
  plotNumber: { middle: 8, factor: 3 },
} satisfies Record<string, Range>;

/** Angles to the top of a tree, by the scale that they are read on. */
const usualTop: Readonly<Record<AngleUnit, Range>> = {
  deg: { middle: 42, factor: 1.6 },
  pct: { middle: 75, factor: 1.7 },
  topo: { middle: 55, factor: 1.7 },
};

/** However odd, a number weighs no more than this against a note, nats. */
const mostAgainst = 4;

/** Nats against a value: none within the usual range, rising with its distance in factors. */
function odd(value: number, { middle, factor }: Range): number {
  if (!(value > 0)) return mostAgainst;
  const away = Math.max(0, Math.abs(Math.log(value / middle) / Math.log(factor)) - 1);
  return Math.min(mostAgainst, 0.5 * away * away);
}

/** The least odd of what a bare number may mean. */
function oddLength(length: Length, range: Range, units: readonly LengthUnit[]): number {
  const said = length.unit === undefined ? units : [length.unit];
  return Math.min(...said.map((unit) => odd(lengthToFeet(length, unit), range)));
}

function oddDistance(distance: Distance): number {
  if (distance.by === 'length') return oddLength(distance.length, usual.distanceFt, ['ft', 'm']);
  return odd(distance.count, distance.by === 'paces' ? usual.paces : usual.steps);
}

const oddEye = (eye: Length): number => oddLength(eye, usual.eyeFt, ['ft', 'in', 'm', 'cm']);

const metric: ReadonlySet<string> = new Set(['m', 'cm']);
/** Nats against an eye height in feet beside a distance in metres, centimetres unsaid, or a tally of trees beside one diameter. */
const mixed = 2;

function oddMeasurement(measurement: Measurement): number {
  let sum = 0;
  const distance = 'distance' in measurement ? measurement.distance : undefined;
  if (distance) sum += oddDistance(distance);
  if ('eye' in measurement && measurement.eye) {
    const { eye } = measurement;
    sum += oddEye(eye);
    // Five and a half is feet, one sixty five is metres, whether it is said or not.
    const inFeet = eye.unit === undefined ? eye.value > 3 && eye.value < 8 : !metric.has(eye.unit);
    if (distance?.by === 'length' && metric.has(distance.length.unit ?? '') && inFeet) sum += mixed;
  }
  if (measurement.method === 'angles') {
    const scales = measurement.scale === undefined ? (['deg', 'pct'] as const) : [measurement.scale];
    sum += Math.min(...scales.map((scale) => odd(measurement.top, usualTop[scale])));
  }
  if ('takes' in measurement)
    for (const take of measurement.takes) sum += oddLength(take, usual.heightFt, ['ft', 'm']);
  return sum;
}

/** A bare diameter may be centimetres, which fewer people read from their tapes than inches. */
function oddDiameter(diameter: Length, girth: number): number {
  const by = (unit: LengthUnit): number => odd(lengthToFeet(diameter, unit) * 12 * girth, usual.diameterIn);
  if (diameter.unit !== undefined) return by(diameter.unit);
  return Math.min(by('in'), by('cm') + mixed);
}

/**
 * Nats against a note for its numbers alone.
 *
 * @example numberSurprise({ kind: 'height', height: { method: 'stick', distance: { by: 'paces', count: 80 } } }) // 3.75
 */
export function numberSurprise(note: Note): number {
  switch (note.kind) {
    case 'height':
      return oddMeasurement(note.height);
    case 'tree': {
      const { facts, height } = note;
      const diameter = facts?.diameter;
      const girth = diameter?.girth ? 1 / Math.PI : 1;
      return (
        (diameter ? oddDiameter(diameter, girth) : 0) +
        (height ? oddMeasurement(height) : 0) +
        (facts?.count !== undefined && diameter ? mixed : 0) +
        // Few trees bear more than one mark.
        Math.max(0, (facts?.marks?.length ?? 0) - 1)
      );
    }
    case 'plot': {
      const { size, number } = note;
      const byNumber =
        number === undefined ? 0 : odd(Math.max(number, usual.plotNumber.middle), usual.plotNumber);
      if (size === undefined || size.by !== 'area') return byNumber;
      return byNumber + odd(areaToAcres(size, 'feet'), usual.plotAcres);
    }
    case 'change':
      return (note.distance ? oddDistance(note.distance) : 0) + (note.eye ? oddEye(note.eye) : 0);
    case 'setting':
      return note.set.what === 'pace' && 'length' in note.set && note.set.length
        ? oddLength(note.set.length, usual.paceFt, ['ft', 'm'])
        : 0;
    default:
      return 0;
  }
}
