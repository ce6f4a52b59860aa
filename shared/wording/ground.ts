/** How legs of a walk are worded: as they were said, in figures. */
import { bearingWords } from '../land/bearing.ts';
import type { SavedLeg } from '../note/acts.ts';
import type { Length } from '../note/quantities.ts';
import { digits } from './wording.ts';

const unitsOf: Readonly<Record<string, readonly [many: string, one: string]>> = {
  ft: ['feet', 'foot'],
  m: ['metres', 'metre'],
  chain: ['chains', 'chain'],
  yd: ['yards', 'yard'],
  in: ['inches', 'inch'],
  cm: ['centimetres', 'centimetre'],
};

const counted = (value: number, many: string, one: string): string =>
  `${digits(value, 2)} ${value === 1 ? one : many}`;

const lengthWords = ({ value, unit = 'ft' }: Length): string => counted(value, ...unitsOf[unit]!);

/** A distance as it was said: "62 paces". */
export function distanceWords(distance: SavedLeg['distance']): string {
  if (distance.by === 'length') return lengthWords(distance.length);
  return distance.by === 'paces'
    ? counted(distance.count, 'paces', 'pace')
    : counted(distance.count, 'steps', 'step');
}

/** "bearing 85, 62 paces", "north 40 east true, 3 chains, slope 12 percent". */
export function legWords({ bearing, distance, slope }: SavedLeg): string {
  const steep =
    slope === undefined
      ? []
      : [`slope ${digits(slope.value, 1)} ${slope.unit === 'deg' ? 'degrees' : 'percent'}`];
  return [bearingWords(bearing), distanceWords(distance), ...steep].join(', ');
}

/** "12 degrees east". Example: `declinationWords(-1) === '1 degree west'`. */
export function declinationWords(degrees: number): string {
  if (degrees === 0) return 'zero';
  const size = Math.abs(degrees);
  return `${digits(size, 1)} ${size === 1 ? 'degree' : 'degrees'} ${degrees > 0 ? 'east' : 'west'}`;
}
