/** A pace and an eye of five feet, for tests that measure with them: round numbers, so that heights are reckoned by hand. */
import type { HeightSettings } from '../../shared/measuring/height/types.ts';

export const settings: HeightSettings = {
  pace: { feet: 5, sdFeet: 0.05 },
  eye: { feet: 5, sdFeet: 0.1 },
  counting: 'paces',
  units: 'feet',
  groundShorter: 0,
  scatter: {},
};
