/** What a method finds from its measurement, and how that becomes a height with its error. */
import { ok } from '../../core/result.ts';
import { eyeToFeet, plain, tangentToDegrees } from '../../core/units.ts';
import type { Measurement, Method } from '../../note/note.ts';
import type { Length } from '../../note/quantities.ts';
import { budget, type UncertainQuantity } from './budget.ts';
import { beyondFeet, impossible, type Read, type Working } from './sight.ts';
import type { Height, SketchGeometry } from './types.ts';

/** A measurement of one method. */
export type Of<M extends Method> = Extract<Measurement, { method: M }>;

/** What a method adds to its working: the height, and where things stand for the drawing. */
export interface Found extends SightedScene {
  readonly height: UncertainQuantity;
}

/** Where things stand for the drawing. */
interface SightedScene {
  readonly distance?: UncertainQuantity;
  /** Height of the eye over the base. */
  readonly drop?: UncertainQuantity;
  readonly topTangent?: UncertainQuantity;
  readonly eye?: Length | undefined;
}

/** A height as its method gives it; the working holds the rest. */
export interface Measured extends Pick<Height, 'feet' | 'sdFeet' | 'shares' | 'advice' | 'takes'> {
  readonly scene: SightedScene;
}

/** The error of what was found, by its inputs; refused where no tree fits it. */
export function propagated(found: Read<Found>, working: Working): Read<Measured> {
  if (!found.ok) return found;
  const { height, ...scene } = found.value;
  const { feet, sdFeet, shares, advice } = budget(working.inputs, height, working.remedies);
  if (!Number.isFinite(feet) || !Number.isFinite(sdFeet) || feet > beyondFeet) {
    return impossible(
      `Expected a tree below ${beyondFeet} feet; found ${Number.isFinite(feet) ? `${plain(feet)} feet` : 'none that fits these numbers'}.`,
    );
  }
  return ok({ feet, sdFeet, shares, advice, scene });
}

export function sketchOf(
  method: Method,
  working: Working,
  scene: SightedScene,
  heightFt: number,
): SketchGeometry {
  const said = scene.eye === undefined ? null : eyeToFeet(scene.eye);
  const eyeFt = said?.ok ? said.value : (working.settings.eye?.feet ?? null);
  const drop = scene.drop === undefined ? null : working.now(scene.drop);
  return {
    method,
    heightFt,
    distanceFt: scene.distance === undefined ? null : working.now(scene.distance),
    eyeFt,
    baseFt: drop === null || eyeFt === null ? 0 : eyeFt - drop,
    topDegrees: scene.topTangent === undefined ? null : tangentToDegrees(working.now(scene.topTangent)),
  };
}
