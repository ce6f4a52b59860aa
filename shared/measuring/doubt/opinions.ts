/**
 * Two opinions on what was heard: the ear's, and that of the trees. Where the sound left several heights open, each
 * counts by its share of the sound times how well the stand knows such a tree.
 */

import { diameterToInches } from '../../core/units.ts';
import type { Candidate, Measurement } from '../../note/note.ts';
import type { TreeRecord } from '../../totals/types.ts';
import { measure } from '../height/measure.ts';
import type { HeightSettings } from '../height/types.ts';
import type { HeightCurve } from './curve.ts';
import { awayOf, logLikelihood } from './slip-posterior.ts';

export interface StandView {
  readonly settings: HeightSettings;
  /** The stand's curve. */
  readonly curve: HeightCurve;
  /** The tree in hand, whose height is told. */
  readonly tree: Pick<TreeRecord, 'species' | 'diameterIn'> | null;
}

/**
 * The candidates with their shares as ear and trees together see them, best first; their sum stays, so that what is
 * not believed at all stays unbelieved. Unchanged when one of them is no height of the tree in hand, or when one
 * cannot be computed yet: then the trees have nothing to compare.
 *
 * Of "eighty paces" with 0.55 of the sound and "eight" with 0.4, a stand of 50-foot trees leaves "eight" alone.
 */
export function twoOpinions(candidates: readonly Candidate[], trees: StandView): readonly Candidate[] {
  const serious = candidates.filter(({ posterior }) => posterior >= leastShare);
  if (serious.length < 2) return candidates;
  const logs: number[] = [];
  for (const { notes, posterior } of serious) {
    const likelihood = likelihoodOfBreath(notes, trees);
    if (likelihood === null) return candidates;
    logs.push(Math.log(posterior) + likelihood);
  }
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const belief = serious.reduce((sum, { posterior }) => sum + posterior, 0);
  const weighed = serious.map((candidate, i) => ({
    ...candidate,
    posterior: (belief * weights[i]!) / whole,
  }));
  return [...weighed, ...candidates.filter((candidate) => !serious.includes(candidate))].sort(
    (a, b) => b.posterior - a.posterior,
  );
}

/** Meanings with a smaller share of the sound are no matter of opinion. */
const leastShare = 0.03;

/** The same for a breath: its only height, of the tree in hand or of one that was told just before it. */
function likelihoodOfBreath(notes: Candidate['notes'], trees: StandView): number | null {
  const heights = notes.filter(({ kind }) => kind === 'height');
  if (heights.length !== 1) return null;
  let { tree } = trees;
  for (const note of notes) {
    if (note.kind === 'height') return likelihoodOf(note.height, { ...trees, tree });
    if (note.kind !== 'tree') return null;
    const { species, diameter } = note.facts;
    if (species === undefined && diameter === undefined) continue;
    tree = {
      species: typeof species === 'number' ? species : null,
      diameterIn: diameter ? diameterToInches(diameter, trees.settings.units) : null,
    };
  }
  return null;
}

/** Logarithm of how likely such a tree is here; null while its height cannot be computed. */
function likelihoodOf(measurement: Measurement, { settings, curve, tree }: StandView): number | null {
  const result = measure(measurement, settings);
  if (!result.ok) return null;
  const seen = {
    species: tree?.species ?? null,
    diameterIn: tree?.diameterIn ?? null,
    feet: result.value.feet,
    away: awayOf(measurement, result.value),
  };
  return logLikelihood(seen, curve);
}
