/** Settings to measure with, in feet, with nothing else said: for tests and benches. */
import type { HeightSettings } from '../../shared/measuring/height/types.ts';

export const settingsWith = (
  pace: NonNullable<HeightSettings['pace']>,
  eye: NonNullable<HeightSettings['eye']>,
): HeightSettings => ({ pace, eye, counting: 'paces', units: 'feet', groundShorter: 0, scatter: {} });

/** A pace and an eye of five feet: round numbers, so that heights are reckoned by hand. */
export const settings = settingsWith({ feet: 5, sdFeet: 0.05 }, { feet: 5, sdFeet: 0.1 });
