/**
 * The length of a pace from calibration walks: a small model that weighs each walk by what counting can tell, and
 * notices when a later walk no longer agrees.
 */
import { lastOf } from '../../core/required.ts';
import { normalQuantile, sum } from '../../core/statistics.ts';
import { type Deviations, usualDeviations } from '../../note/deviations.ts';
import { saidSd } from './sight.ts';
import type { Counting, KnownLength } from './types.ts';

/** One calibration walk: so many paces or single steps over a known distance. */
interface Walk {
  readonly count: number;
  readonly of: Counting;
  /** Length walked, feet. */
  readonly feet: number;
  /** Milliseconds since 1970, where known; walks without one are taken as in order already. */
  readonly time?: number;
}

export interface PaceModel extends KnownLength {
  /** How many walks it comes from; 0 for a stated pace. */
  readonly walks: number;
  /** The last walk, when it is further from the earlier ones than their errors explain. */
  readonly drift: {
    readonly earlierFeet: number;
    readonly laterFeet: number;
    /** Difference in sd of the difference. */
    readonly sds: number;
  } | null;
  /** True when the length is that of a single step: ask which of the two is counted. */
  readonly looksLikeSteps: boolean;
}

/**
 * Below this a "pace" is a single step, feet. Published pacing charts run from 13 to 16 paces a chain, 5.1 to 4.1 ft,
 * and a chart of 24 "paces" a chain, 2.75 ft, is one of steps (Hill, Univ. of Kentucky FOR-47).
 */
export const leastPaceFeet = 3.4;
/** So many walks is the expected scatter worth against the walks' own. */
const expectedWeighs = 4;
/** A walk this far from the earlier ones happens by chance one time in a hundred. */
const driftFrom = normalQuantile(0.995);

/**
 * Pace (two steps) in feet with its sd, from walks and a stated pace; null when there is neither.
 *
 * Each walk gives feet / count; its error is the rounding of the count (a whole count is right to half a pace), the
 * walk-to-walk scatter and the line. Walks are pooled by length, total feet over total count, as one long walk; a
 * stated pace is one more value weighed by its own sd, and has no say from the second walk on. The expected scatter is
 * pooled with the one found between walks, so walks that disagree widen the sd. `statedFeet` is a stated pace; `counting` says what "paces" means to
 * this user.
 *
 * Walks need count > 0 and feet > 0; others are ignored. Ground is not in it: `measure` adds that.
 * Example: `paceModel([{ count: 19, of: 'paces', feet: 100 }]).feet` is 5.26; and 20 in 104 ft: 5.23 ft from two walks.
 */
export function paceModel(
  walks: readonly Walk[],
  statedFeet: number | null = null,
  counting: Counting = 'paces',
  by: Deviations = usualDeviations,
): PaceModel | null {
  const stated = statedFeet !== null && statedFeet > 0 && Number.isFinite(statedFeet) ? statedFeet : null;
  const told = [...walks]
    .filter((walk) => walk.count > 0 && walk.feet > 0 && Number.isFinite(walk.feet / walk.count))
    .sort((a, b) => (a.time ?? 0) - (b.time ?? 0))
    .map((walk) => {
      const perPace = walk.of === 'steps' || counting === 'steps' ? 2 : 1;
      return { paces: walk.count / perPace, countSd: saidSd(walk.count) / perPace, feet: walk.feet };
    });
  if (told.length === 0) {
    if (stated === null) return null;
    return known(stated, stated * by.statedPacePart, 0, null);
  }
  const walked = pooled(told, by);
  const last = lastOf(told);
  const earlier = told.length > 1 ? pooled(told.slice(0, -1), by) : null;
  let drift: PaceModel['drift'] = null;
  if (earlier !== null) {
    const later = pooled([last], by);
    const sds = Math.abs(later.feet - earlier.feet) / Math.hypot(later.sdFeet, earlier.sdFeet);
    if (sds > driftFrom) drift = { earlierFeet: earlier.feet, laterFeet: later.feet, sds };
  }
  if (stated === null || told.length > 1) return known(walked.feet, walked.sdFeet, told.length, drift);
  // One walk and a stated pace: the mean weighed by the reciprocal variances.
  const a = 1 / walked.sdFeet ** 2;
  const b = 1 / (stated * by.statedPacePart) ** 2;
  return known((walked.feet * a + stated * b) / (a + b), 1 / Math.sqrt(a + b), 1, null);
}

const known = (feet: number, sdFeet: number, walks: number, drift: PaceModel['drift']): PaceModel => ({
  feet,
  sdFeet,
  walks,
  drift,
  looksLikeSteps: feet < leastPaceFeet,
});

interface Told {
  readonly paces: number;
  readonly countSd: number;
  readonly feet: number;
}

/** Total feet over total paces, with the sd that the counts, the scatter from walk to walk and the line give. */
function pooled(told: readonly Told[], by: Deviations): KnownLength {
  const paces = sum(told.map((walk) => walk.paces));
  const feet = sum(told.map((walk) => walk.feet)) / paces;
  const parts = told.map((walk) => {
    const part = Math.hypot(walk.countSd / walk.paces, by.walkPart, by.linePart);
    return { part, weight: walk.paces / paces, apart: (walk.feet / walk.paces - feet) / (feet * part) };
  });
  const expected = feet * Math.hypot(...parts.map(({ part, weight }) => part * weight));
  const squares = sum(parts.map(({ apart }) => apart * apart));
  const scatter = (expectedWeighs + squares) / (expectedWeighs + told.length - 1);
  return { feet, sdFeet: expected * Math.sqrt(scatter) };
}
