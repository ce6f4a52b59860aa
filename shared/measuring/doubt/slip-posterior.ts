/**
 * What was most likely meant: the note as said against every slip of it, each by its prior times how well the tree
 * that it gives fits the stand. Posteriors are for ranking and for asking; they are not read out.
 */

import { diameterToInches } from '../../core/units.ts';
import type { Measurement, Note, NoteMeaning } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import { measure } from '../height/measure.ts';
import { methodOf } from '../height/methods.ts';
import type { Height, HeightSettings } from '../height/types.ts';
import { breastHeightFt, type HeightCurve } from './curve.ts';
import { type Claim, type Meant, meanings, mendedNote, type SaidDiameter } from './slips.ts';

/** Tallest tree known, feet: a coast redwood of 379.5 ft (115.7 m), rounded up. */
export const tallestFt = 380;

/** Prior chance of a slip of weight 1 in one note; by judgement: in all, some four notes of a hundred. */
const chancePerWeight = 0.0043;
/** Prior chance of something wrong that is no slip of the table: a wrong tree, a hidden top. */
const otherChance = 0.006;
/**
 * Prior chance that a number was carried over from the tree before: said again from habit, or read off the same mark. By
 * judgement, half a slip of weight 1. Then it stands there for certain, where a sound tree comes to it only by chance.
 */
const carriedChance = 0.5 * chancePerWeight;
/** Density of such a value, per unit of a natural logarithm: anything from a seventh to seven times. */
const anything = 1 / 4;
/** People who sight angles stand about as far off as the tree is tall; middle and spread (logarithm), by judgement. */
const usualAway = 1.1;
const awaySpread = 0.45;
/** Logarithm of the likelihood of what cannot be. */
const impossible = -60;

/** A tree in the book's units, as far as it is known. */
export interface Seen {
  readonly species: number | null;
  readonly diameterIn: number | null;
  readonly feet: number | null;
  /** Where the top was sighted by an angle: how far off, as a multiple of the height. */
  readonly away: number | null;
}

export interface SlipCause extends Seen {
  readonly meant: Meant;
  readonly note: Note;
  readonly posterior: number;
  /** Words of the recogniser's alternative, for the slip `heard`. */
  readonly words: string | null;
}

export interface SlipPosterior {
  /** Posterior that it was meant as it was said. */
  readonly asSaid: number;
  /** Posterior that something else is wrong. */
  readonly other: number;
  /** Slips, likeliest first. */
  readonly causes: readonly SlipCause[];
}

/**
 * Weighs the claim. `seen` is the tree as said; the settings turn corrected measurements into heights.
 * Slips whose tree cannot be computed are left out. Nothing is changed.
 */
export function weigh(
  claim: Claim,
  seen: Seen,
  settings: HeightSettings,
  curve: HeightCurve,
  others: readonly NoteMeaning[],
): SlipPosterior {
  const found: { meant: Meant; note: Note; seen: Seen; log: number; words: string | null }[] = [];
  for (const meant of meanings(claim)) {
    const now = seenAs(meant, seen, settings);
    if (now === null) continue;
    // A number is as likely as its rounding is coarse: whole paces near 8 lie farther apart than near 80.
    const coarse = meant.value === null || meant.said === null ? 0 : Math.log(meant.said / meant.value);
    const log = Math.log(meant.weight * chancePerWeight) + coarse + logLikelihood(now, curve);
    found.push({ meant, note: mendedNote(claim, meant), seen: now, log, words: null });
  }
  for (const candidate of others) {
    const meant = heardAs(candidate, claim);
    const now = meant && seenAs(meant, seen, settings);
    if (!meant || !now) continue;
    const log = Math.log(Math.max(meant.weight, 1e-9)) + logLikelihood(now, curve);
    const same = found.find(({ note }) => JSON.stringify(note) === JSON.stringify(candidate.note));
    if (same) same.log = Math.max(same.log, log);
    else found.push({ meant, note: candidate.note, seen: now, log, words: candidate.words });
  }
  // The recogniser has weighed the sounds already: its share of this meaning against the others.
  const elsewhere = others.reduce((sum, { posterior }) => sum + posterior, 0);
  const logAsSaid = Math.log(Math.max(1 - elsewhere, 0.02)) + logLikelihood(seen, curve);
  const logOther = Math.log(
    otherChance * Math.exp(logAnything(seen, curve)) + carriedChance * carriedOver(claim, seen, curve),
  );
  const most = found.reduce((max, { log }) => Math.max(max, log), Math.max(logAsSaid, logOther));
  const total = found.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  const whole = total + Math.exp(logAsSaid - most) + Math.exp(logOther - most);
  const causes = found
    .map(({ meant, note, seen: now, log, words }) => ({
      ...now,
      meant,
      note,
      words,
      posterior: Math.exp(log - most) / whole,
    }))
    .sort((a, b) => b.posterior - a.posterior);
  return { asSaid: Math.exp(logAsSaid - most) / whole, other: Math.exp(logOther - most) / whole, causes };
}

function seenAs(meant: Meant, seen: Seen, settings: HeightSettings): Seen | null {
  let { feet, diameterIn, away } = seen;
  if (meant.changes === 'height') {
    if (meant.measurement === null) return null;
    const height = measure(meant.measurement, settings);
    if (!height.ok) return null;
    feet = height.value.feet;
    away = awayOf(meant.measurement, height.value);
  } else {
    diameterIn = meant.diameter === null ? null : diameterToInches(meant.diameter, settings.units);
  }
  return { species: seen.species, diameterIn, feet, away };
}

/** How far off an angle was sighted, as a multiple of the height; null for other ways, which ask for no distance. */
export function awayOf(measurement: Measurement, height: Height): number | null {
  const { distanceFt } = height.sketch;
  return measurement.method === 'angles' && distanceFt !== null && height.feet > 0
    ? distanceFt / height.feet
    : null;
}

/** Another meaning of the same sound, as a slip; its weight against the meaning taken. */
function heardAs(candidate: NoteMeaning, claim: Claim): Meant | null {
  const { note } = candidate;
  const base = { slip: 'heard' as const, weight: candidate.posterior, value: null, said: null };
  const measurement: Measurement | null =
    note.kind === 'height' ? note.height : note.kind === 'tree' ? (note.height ?? null) : null;
  const diameter: SaidDiameter | null = note.kind === 'tree' ? (note.facts.diameter ?? null) : null;
  if (claim.measurement !== null && measurement !== null) {
    return { ...base, measurement, diameter: claim.diameter, changes: 'height' };
  }
  if (claim.measurement === null && diameter !== null) {
    return { ...base, measurement: null, diameter, changes: 'diameter' };
  }
  return null;
}

/** Logarithm of how likely such a tree is in this stand. */
export function logLikelihood(seen: Seen, curve: HeightCurve): number {
  const { species, diameterIn, feet } = seen;
  let log = 0;
  if (diameterIn !== null) {
    if (!(diameterIn > 0)) return impossible;
    log += curve.diameters.logDensity(diameterIn);
  }
  if (feet !== null) {
    const tallest = species === null ? null : speciesByCode(species)?.tallest;
    const record = tallest?.kind === 'record' ? tallest.feet : tallestFt;
    if (!(feet > 0) || feet > Math.min(record, tallestFt)) return impossible;
    // A tree with a diameter at breast height is taller than that.
    if (diameterIn !== null && feet < breastHeightFt) return impossible;
    log += diameterIn === null ? curve.logHeight(species, feet) : curve.logDensity(species, diameterIn, feet);
  }
  if (seen.away !== null) {
    // Student-t with 4 degrees of freedom: some stand much nearer or farther.
    const z = Math.log(seen.away / usualAway) / awaySpread;
    log -= 2.5 * Math.log1p((z * z) / 4);
  }
  return Math.max(log, impossible);
}

/**
 * Whether it was measured as the tree before was, to the last digit. With a stick the distance is the height, and so is the
 * reading of a device. Who sights angles may stand as far from every tree: the same distance tells nothing there, and only
 * the same angles with it count.
 */
export const isRepeated = ({ measurement, earlier }: Claim): boolean =>
  measurement !== null && earlier !== null && JSON.stringify(measurement) === JSON.stringify(earlier);

/** Density of a number that was carried over, per unit of ln(height): one over how finely it is said; nought where it was not. */
function carriedOver(claim: Claim, { diameterIn }: Seen, curve: HeightCurve): number {
  const { measurement } = claim;
  if (measurement === null || diameterIn === null || !(diameterIn > 0) || !isRepeated(claim)) return 0;
  const [first] = methodOf(measurement).numbers(measurement);
  if (first === undefined || !(first.said > 0)) return 0;
  return (first.said / stepOf(first.said)) * Math.exp(curve.diameters.logDensity(diameterIn));
}

/** How finely a number is said: whole ones and halves by halves, others by tenths. */
const stepOf = (said: number): number => (Number.isInteger(2 * said) ? 0.5 : 0.1);

/** The same where either value may be anything at all. */
function logAnything(seen: Seen, curve: HeightCurve): number {
  const { species, diameterIn, feet } = seen;
  if (diameterIn === null || feet === null || !(feet > 0) || !(diameterIn > 0)) return Math.log(anything);
  const heightWrong = anything * Math.exp(curve.diameters.logDensity(diameterIn));
  const diameterWrong = anything * Math.exp(curve.logHeight(species, feet));
  return Math.log(0.5 * heightWrong + 0.5 * diameterWrong + 1e-12);
}
