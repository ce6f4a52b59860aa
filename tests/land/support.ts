/** Legs for the tests: said shortly, read by the program. */
import type { SaidBearing } from '../../shared/land/bearing.ts';
import { type Leg, type LegSettings, readLeg, type SaidLeg, type Walker } from '../../shared/land/leg.ts';

export const walker: Walker = {
  name: 'Ann',
  pace: { feet: 5.28, sdFeet: 0.08 },
  counting: 'paces',
  groundShorter: 0,
};
export const settings: LegSettings = { units: 'feet', north: 'true', declination: null };

export const read = (said: SaidLeg, by = walker, as = settings): Leg => {
  const leg = readLeg(said, by, as);
  if (!leg.ok) throw new Error(JSON.stringify(leg.error));
  return leg.value;
};

/** "N 19 46 0 W": a quadrant bearing in degrees, minutes and seconds. */
export const quadrant = (text: string): SaidBearing => {
  const [from, degrees, minutes, seconds, towards] = text.split(' ');
  return {
    by: 'quadrant',
    from: from === 'N' ? 'north' : 'south',
    degrees: Number(degrees) + Number(minutes) / 60 + Number(seconds) / 3600,
    towards: towards === 'E' ? 'east' : 'west',
  };
};

export const azimuth = (degrees: number): SaidBearing => ({ by: 'azimuth', degrees });
export const taped = (bearing: SaidBearing, value: number): SaidLeg => ({
  bearing,
  distance: { by: 'length', length: { value, unit: 'ft' }, taped: true },
});
export const paced = (bearing: SaidBearing, count: number): SaidLeg => ({
  bearing,
  distance: { by: 'paces', count },
});

/** Two standard normal numbers of two uniform ones (Box and Muller 1958). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
