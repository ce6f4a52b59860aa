/**
 * Whether to keep the best of several readings, to ask between two, or to refuse. A wrong note kept in silence is
 * far worse than a question, so the limits were chosen on slipped sentences (tests/fixtures/tune-decision.ts).
 */
import type { Reading } from './model.ts';

export type Decision =
  | { readonly kind: 'keep'; readonly reading: Reading }
  | { readonly kind: 'ask'; readonly readings: readonly [Reading, Reading] }
  | { readonly kind: 'refuse' };

export const decisionLimits = {
  /** Kept: at least this share of belief, at most this cost in nats. */
  keepPosterior: 0.95,
  keepCost: 13,
  /** Asked: the two best together at least this share, at most this cost. */
  askPosterior: 0.6,
  askCost: 16,
};

/** Readings must be sorted, best first, and their posteriors comparable (of one utterance). */
export function decide(readings: readonly Reading[], limits = decisionLimits): Decision {
  const [first, second] = readings;
  if (first === undefined) return { kind: 'refuse' };
  if (first.posterior >= limits.keepPosterior && first.cost <= limits.keepCost)
    return { kind: 'keep', reading: first };
  const two = first.posterior + (second?.posterior ?? 0);
  if (second !== undefined && two >= limits.askPosterior && first.cost <= limits.askCost)
    return { kind: 'ask', readings: [first, second] };
  return { kind: 'refuse' };
}
