/**
 * Numbers as they come up in a wood. A note whose numbers nobody meets is not forbidden, only a little less likely
 * to have been said than one that sounds the same and has usual numbers. Common practice, no source.
 */
import type { Length, Measurement, Note } from '../shared/note.ts';

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
} satisfies Record<string, Range>;

/** However odd, a number weighs no more than this against a note, nats. */
const mostAgainst = 4;

const feetPer: Readonly<Record<string, number>> = {
  ft: 1,
  in: 1 / 12,
  m: 3.2808,
  cm: 0.032808,
  chain: 66,
  yd: 3,
};

/** Nats against a value: none within the usual range, rising with its distance in factors. */
function odd(value: number, { middle, factor }: Range): number {
  if (!(value > 0)) return mostAgainst;
  const away = Math.max(0, Math.abs(Math.log(value / middle) / Math.log(factor)) - 1);
  return Math.min(mostAgainst, 0.5 * away * away);
}

/** The least odd of what a bare number may mean. */
function oddLength(length: Length, range: Range, units: readonly string[], perFoot = 1): number {
  const said = length.unit === undefined ? units : [length.unit];
  return Math.min(...said.map((unit) => odd(length.value * feetPer[unit]! * perFoot, range)));
}

function oddMeasurement(measurement: Measurement): number {
  let sum = 0;
  if ('distance' in measurement && measurement.distance) {
    const { distance } = measurement;
    if (distance.by === 'length') sum += oddLength(distance.length, usual.distanceFt, ['ft', 'm']);
    else sum += odd(distance.count, distance.by === 'paces' ? usual.paces : usual.steps);
  }
  if ('eye' in measurement && measurement.eye)
    sum += oddLength(measurement.eye, usual.eyeFt, ['ft', 'in', 'm', 'cm']);
  if ('takes' in measurement)
    for (const take of measurement.takes) sum += oddLength(take, usual.heightFt, ['ft', 'm']);
  return sum;
}

/**
 * Nats against a note for its numbers alone.
 *
 * @example unusualNumbers({ kind: 'height', height: { method: 'stick', distance: { by: 'paces', count: 80 } } }) // 4
 */
export function unusualNumbers(note: Note): number {
  switch (note.kind) {
    case 'height':
      return oddMeasurement(note.height);
    case 'tree': {
      const { facts, height } = note;
      const diameter = facts?.diameter;
      const girth = diameter?.girth ? 1 / Math.PI : 1;
      return (
        (diameter ? oddLength(diameter, usual.diameterIn, ['in', 'cm'], 12 * girth) : 0) +
        (height ? oddMeasurement(height) : 0) +
        // Few trees bear more than one mark.
        Math.max(0, (facts?.marks?.length ?? 0) - 1)
      );
    }
    case 'plot': {
      const { size } = note;
      if (size === undefined || size.by !== 'area') return 0;
      return odd(size.value * (size.unit === 'ha' ? 2.471 : 1), usual.plotAcres);
    }
    case 'setting':
      return note.set.what === 'pace' && 'length' in note.set && note.set.length
        ? oddLength(note.set.length, usual.paceFt, ['ft', 'm'])
        : 0;
    default:
      return 0;
  }
}
