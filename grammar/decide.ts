/**
 * Whether to keep the best of several readings, to ask, or to refuse. A wrong note kept in silence is far worse than
 * a question, so the limits are the ones that tests/fixtures/tune-decision.ts found on slipped sentences.
 */
import type { TolerantReading } from './tolerant.ts';

export type Decision =
  | { readonly kind: 'keep'; readonly reading: TolerantReading }
  /** One of these two, the likelier first, or whether it was this one. */
  | { readonly kind: 'ask'; readonly readings: readonly [TolerantReading, TolerantReading?] }
  /**
   * One word is missing behind the first `at` written words, and it could be any of several: ask for it. `words`
   * are the likeliest.
   */
  | { readonly kind: 'missing'; readonly at: number; readonly words: readonly string[] }
  | { readonly kind: 'refuse' };

export const decisionLimits = {
  /** Kept: at least this share of belief, at most this cost in nats. */
  keepPosterior: 0.97,
  keepCost: 10,
  /** Asked between two: together at least this share, at most this cost. */
  askPosterior: 0.45,
  askCost: 18,
  /** Asked for a missing word: readings that miss one at the same place hold at least this share. */
  missingPosterior: 0.6,
};

/** Readings must be of one utterance, best first. */
export function decide(readings: readonly TolerantReading[], limits = decisionLimits): Decision {
  const [first, second] = readings;
  if (first === undefined || first.cost > limits.askCost) return { kind: 'refuse' };
  const keepable = first.missing?.valued !== true;
  if (
    keepable &&
    isTrusted(first) &&
    first.posterior >= limits.keepPosterior &&
    first.cost <= limits.keepCost
  )
    return { kind: 'keep', reading: first };
  // Many words that may be missing at one place make one open question; two meanings make a choice.
  const at = first.missing?.at;
  const alike = at === undefined ? [] : readings.filter(({ missing }) => missing?.at === at);
  const missing: Decision | undefined =
    at !== undefined && alike.reduce((sum, { posterior }) => sum + posterior, 0) >= limits.missingPosterior
      ? { kind: 'missing', at, words: [...new Set(alike.map((reading) => reading.missing!.word))] }
      : undefined;
  if (missing !== undefined && (alike.length > 2 || !keepable)) return missing;
  if (keepable && first.posterior >= limits.keepPosterior) return { kind: 'ask', readings: [first] };
  if (second !== undefined && first.posterior + second.posterior >= limits.askPosterior)
    return { kind: 'ask', readings: [first, second] };
  if (missing !== undefined) return missing;
  return { kind: 'refuse' };
}

/** Nothing written is passed over, nothing is supposed, and enough stands there as it is for what does not. */
function isTrusted({ liberties }: TolerantReading): boolean {
  if (liberties === undefined) return true;
  return liberties.passedOver === 0 && liberties.supposed === 0 && liberties.own >= liberties.needs;
}
