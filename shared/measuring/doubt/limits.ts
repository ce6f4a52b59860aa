/** Fixed limits: what cannot be, and what is seldom, whatever the stand. Each names its source. */

import { feetToMetres, type Units } from '../../core/units.ts';
import type { Measurement } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import { methodOf } from '../height/methods.ts';
import type { Height } from '../height/types.ts';
import { breastHeightFt } from './curve.ts';
import { type Seen, tallestFt } from './slip-posterior.ts';
import { feetText } from './wording.ts';

type LimitCode =
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

/** Limits that this tree passes, strongest first, told in `units`. `height` and `measurement` are null where there are none. */
export function limitsPassed(
  seen: Seen,
  measurement: Measurement | null,
  height: Height | null,
  units: Units,
): readonly PassedLimit[] {
  const { feet, diameterIn } = seen;
  const found: PassedLimit[] = [
    ...(feet === null
      ? []
      : [tallness(feet, seen.species, units), belowBreast(feet, diameterIn), shape(feet, diameterIn)]),
    diameterIn === null ? null : thickness(diameterIn),
    (height?.takes?.outlying.length ?? 0) > 0 ? limit('takes', 0.4, 'way', '') : null,
    measurement === null ? null : ofTheWay(measurement, height, units),
  ].filter((one) => one !== null);
  return found.sort((a, b) => b.strength - a.strength);
}

const limit = (
  code: LimitCode,
  strength: number,
  about: PassedLimit['about'],
  because: string,
): PassedLimit => ({ code, strength, about, because });

/** Against the tallest tree known, the tallest of its species, and what its species usually comes to. */
function tallness(feet: number, code: number | null, units: Units): PassedLimit | null {
  if (feet > tallestFt) return limit('record', 1, 'height', ', taller than any tree known');
  const species = code === null ? undefined : speciesByCode(code);
  if (species === undefined) return null;
  const { commonName, tallest } = species;
  if (tallest?.kind === 'record' && feet > tallest.feet) {
    return limit('speciesRecord', 0.95, 'height', `, taller than any ${commonName} known`);
  }
  const [low, high] = species.matureFt;
  const usual = (of: number): number => Math.round(units === 'metres' ? feetToMetres(of) : of);
  if (!(feet > tallWarn * high)) return null;
  // What was measured once may be measured again: a height that stood is never asked about for being rare.
  const askFromFt = Math.max(tallAsk * high, tallest?.feet ?? 0);
  const because = `, tall for ${commonName}, which usually comes to ${usual(low)} to ${usual(high)}`;
  return limit('tallForSpecies', feet > askFromFt ? 0.6 : 0.3, 'height', because);
}

const belowBreast = (feet: number, diameterIn: number | null): PassedLimit | null =>
  feet < breastHeightFt && diameterIn !== null
    ? limit('belowBreastHeight', 0.9, 'height', ', which is below breast height')
    : null;

/** Height against thickness. */
function shape(feet: number, diameterIn: number | null): PassedLimit | null {
  if (diameterIn === null || diameterIn < saplingIn || feet > tallestFt) return null;
  const slenderness = (12 * feet) / diameterIn;
  if (slenderness > verySlender)
    return limit('slender', 0.45, 'height', `, ${Math.round(slenderness)} times its thickness`);
  if (slenderness > slenderWarn) return limit('slender', 0.3, 'height', ', very slender');
  return slenderness < stoutWarn ? limit('stout', 0.4, 'height', ', very short for its thickness') : null;
}

function thickness(diameterIn: number): PassedLimit | null {
  if (!(diameterIn > thickIn)) return null;
  return diameterIn > thickestIn
    ? limit('thick', 1, 'diameter', ', thicker than any tree known')
    : limit('thick', 0.6, 'diameter', ', a giant');
}

/** A steep sight, or one from too near. */
function ofTheWay(measurement: Measurement, height: Height | null, units: Units): PassedLimit | null {
  const degrees = methodOf(measurement).topDegrees(measurement);
  if (degrees === null) return null;
  if (degrees > steepDegrees) {
    const strength = degrees > tooSteepDegrees ? 0.55 : 0.3;
    return limit('steep', strength, 'way', `${Math.round(degrees)} degrees is steep`);
  }
  const distance = height?.sketch.distanceFt ?? null;
  if (distance !== null && height !== null && distance < nearShare * height.feet) {
    return limit('near', 0.25, 'way', `${feetText(distance, units)} ${units} is near`);
  }
  return null;
}
