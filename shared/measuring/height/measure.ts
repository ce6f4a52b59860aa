/**
 * A measurement as said becomes a height with an honest error, its working and its drawing; or the reason why not.
 * Names of the working steps: count, pace, ground, slopeDistance, slope, distance, eye, base, top, stick, arm, lean,
 * leanPerFoot, pole, poleReads, treeReads, shadow, poleShadow, topRange, baseRange, tipOffset, take, middle, height.
 */

import { ok, type Result } from '../../core/result.ts';
import { plain } from '../../core/units.ts';
import type { Measurement } from '../../note/note.ts';
import { sketchOf } from './found.ts';
import { methodOf } from './methods.ts';
import { impossible, Working } from './sight.ts';
import type { Height, HeightProblem, HeightSettings } from './types.ts';

/**
 * The height that a measurement gives, feet.
 *
 * Every measurement that satisfies the schema gives a finite height above 0 with a finite error, or a problem: a
 * value that the user can give (pace, eye, scale), or a sentence saying what was expected and what was found.
 * Units that were not said come from the settings. Example: 8 paces of 5.3 ft, eye 5.5 ft: 47.9 ft.
 */
export function measure(measurement: Measurement, settings: HeightSettings): Result<Height, HeightProblem> {
  const working = new Working(settings);
  const { method } = measurement;
  const row = methodOf(measurement);
  const measured = row.measure(measurement, working);
  if (!measured.ok) return measured;
  const { scene, ...height } = measured.value;
  const { feet } = height;
  if (feet < 0.01) {
    return impossible(`Expected the top above the base; found a height of ${plain(feet)} feet.`);
  }
  working.step('height', feet, 'ft');
  return ok({
    ...height,
    method,
    steps: working.steps,
    sketch: sketchOf(method, working, scene, feet),
    assumed: working.assumed,
    formula: row.formula,
  });
}
