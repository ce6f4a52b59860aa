/** Fixed limits: what cannot be, and what is seldom, whatever the stand. Each names its source. */

import { angleToTangent, tangentToDegrees } from '../../core/units.ts';
import type { Measurement } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import type { Height } from '../height/types.ts';
import { breastHeightFt } from './curve.ts';
import { type Seen, tallestFt } from './slip-posterior.ts';

export type LimitCode =
  | 'record'
  | 'speciesRecord'
  | 'tallForSpecies'
  | 'belowBreastHeight'
  | 'slender'
  | 'stout'
  | 'takes'
  | 'steep'
  | 'near'
  | 'thick';

export interface PassedLimit {
  readonly code: LimitCode;
  /** 0 to 1, as in a doubt. */
  readonly strength: number;
  /** What is odd, after the value: ", taller than any tree known". */
  readonly because: string;
  readonly about: 'height' | 'diameter' | 'way';
}

/**
 * Slenderness (height over diameter, same unit). Sound trees reach 101 (31 felled black cherries, R data set `trees`),
 * so it warns only well above, and never asks by itself; saplings go far beyond and are left alone. Limits by judgement.
 */
const slenderWarn = 120;
const verySlender = 170;
const stoutWarn = 12;
const saplingIn = 4;
/** How far above the usual mature height of its species a tree is worth a word, and a question. By judgement. */
const tallWarn = 1.3;
const tallAsk = 1.7;
/** Sightings steeper than 45 degrees cost accuracy (common practice, no source). */
const steepDegrees = 60;
const tooSteepDegrees = 78;
/** "... a distance that is not less than the height of the tree": a clinometer essay, weak source. Only well below. */
const nearShare = 0.6;
/** Thicker than this is a giant, inches; thicker than the other, no tree (from memory: about 36 ft, a Mexican cypress). */
const thickIn = 120;
const thickestIn = 460;

/** Limits that this tree passes, strongest first. `height` and `measurement` are null where there are none. */
export function limitsPassed(
  seen: Seen,
  measurement: Measurement | null,
  height: Height | null,
): readonly PassedLimit[] {
  const found: PassedLimit[] = [];
  const put = (code: LimitCode, strength: number, about: PassedLimit['about'], because: string) =>
    found.push({ code, strength, about, because });
  const { feet, diameterIn } = seen;
  const species = seen.species === null ? undefined : speciesByCode(seen.species);
  if (feet !== null) {
    if (feet > tallestFt) put('record', 1, 'height', ', taller than any tree known');
    else if (species?.tallest?.kind === 'record' && feet > species.tallest.feet) {
      put('speciesRecord', 0.95, 'height', `, taller than any ${species.commonName} known`);
    } else if (species !== undefined && feet > tallWarn * species.matureFt[1]) {
      const [low, high] = species.matureFt;
      // What was measured once may be measured again: a height that stood is never asked about for being rare.
      const askFromFt = Math.max(tallAsk * high, species.tallest?.feet ?? 0);
      const strength = feet > askFromFt ? 0.6 : 0.3;
      put(
        'tallForSpecies',
        strength,
        'height',
        `, tall for ${species.commonName}, which usually comes to ${low} to ${high}`,
      );
    }
    if (feet < breastHeightFt && diameterIn !== null) {
      put('belowBreastHeight', 0.9, 'height', ', which is below breast height');
    }
    if (diameterIn !== null && diameterIn >= saplingIn && feet <= tallestFt) {
      const slenderness = (12 * feet) / diameterIn;
      if (slenderness > verySlender)
        put('slender', 0.45, 'height', `, ${Math.round(slenderness)} times its thickness`);
      else if (slenderness > slenderWarn) put('slender', 0.3, 'height', ', very slender');
      else if (slenderness < stoutWarn) put('stout', 0.4, 'height', ', very short for its thickness');
    }
  }
  if (diameterIn !== null && diameterIn > thickIn) {
    put(
      'thick',
      diameterIn > thickestIn ? 1 : 0.6,
      'diameter',
      diameterIn > thickestIn ? ', thicker than any tree known' : ', a giant',
    );
  }
  if (height?.takes !== undefined && height.takes.outlying.length > 0) {
    put('takes', 0.4, 'way', '');
  }
  if (measurement !== null) for (const limit of ofTheWay(measurement, height)) found.push(limit);
  return found.sort((a, b) => b.strength - a.strength);
}

function ofTheWay(measurement: Measurement, height: Height | null): PassedLimit[] {
  const degrees =
    measurement.method === 'angles'
      ? tangentToDegrees(angleToTangent(measurement.top, measurement.scale ?? 'deg'))
      : measurement.method === 'ranges'
        ? measurement.topAngle
        : null;
  if (degrees === null) return [];
  if (degrees > steepDegrees) {
    const strength = degrees > tooSteepDegrees ? 0.55 : 0.3;
    return [{ code: 'steep', strength, about: 'way', because: `${Math.round(degrees)} degrees is steep` }];
  }
  const distance = height?.sketch.distanceFt ?? null;
  if (distance !== null && height !== null && distance < nearShare * height.feet) {
    return [{ code: 'near', strength: 0.25, about: 'way', because: `${Math.round(distance)} feet is near` }];
  }
  return [];
}
