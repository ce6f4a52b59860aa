/**
 * Whether to keep the best of several readings, to ask, or to refuse. A wrong note kept in silence is far worse than
 * a question, so the limits are the ones that tests/grammar/make/tune-decision.ts found on slipped sentences.
 */
import { decisionLimits } from './edit-costs.ts';
import type { TolerantReading } from './tolerant.ts';

type Decision =
  | { readonly kind: 'keep'; readonly reading: TolerantReading }
  /** One of these two or three, the likelier first, or whether it was this one. */
  | { readonly kind: 'ask'; readonly readings: readonly [TolerantReading, ...TolerantReading[]] }
  /**
   * One word is missing behind the first `at` written words, and it could be any of several: ask for it. `words`
   * are the likeliest.
   */
  | { readonly kind: 'missing'; readonly at: number; readonly words: readonly string[] }
  | { readonly kind: 'refuse' };

/** Readings must be of one utterance, best first. */
export function decide(readings: readonly TolerantReading[], limits = decisionLimits): Decision {
  const [first, second, third] = readings;
  if (first === undefined || first.cost > limits.askCost || isFar(first)) return { kind: 'refuse' };
  const keepable = first.missing?.valued !== true;
  const least = first.evidence === undefined ? limits.heardPosterior : limits.keepPosterior;
  if (keepable && isTrusted(first) && first.posterior >= least && first.cost <= limits.keepCost)
    return { kind: 'keep', reading: first };
  // Many words that may be missing at one place make one open question; two meanings make a choice.
  const at = first.missing?.at;
  const alike = readings.flatMap(({ missing, posterior }) =>
    missing === undefined || missing.at !== at ? [] : [{ word: missing.word, posterior }],
  );
  const missing: Decision | undefined =
    at !== undefined && alike.reduce((sum, { posterior }) => sum + posterior, 0) >= limits.missingPosterior
      ? { kind: 'missing', at, words: [...new Set(alike.map(({ word }) => word))] }
      : undefined;
  if (keepable && first.posterior >= limits.alonePosterior) return { kind: 'ask', readings: [first] };
  if (missing !== undefined && (alike.length > 2 || !keepable)) return missing;
  if (second !== undefined) {
    const offered =
      third !== undefined && third.posterior >= limits.thirdPosterior ? [second, third] : [second];
    const sum = offered.reduce((total, { posterior }) => total + posterior, first.posterior);
    if (sum >= limits.askPosterior) return { kind: 'ask', readings: [first, ...offered] };
  }
  if (missing !== undefined) return missing;
  return { kind: 'refuse' };
}

/** More than one word too many or too few, or nothing that stands there as it is: nobody would know it again. */
function isFar({ evidence }: TolerantReading): boolean {
  if (evidence === undefined) return false;
  const { passedOver, supposed, own, needs } = evidence;
  return passedOver + supposed > 1 || (own === 0 && needs > 1);
}

/** Nothing written is passed over, nothing is supposed, and enough stands there as it is for what does not. */
function isTrusted({ evidence }: TolerantReading): boolean {
  if (evidence === undefined) return true;
  return evidence.passedOver === 0 && evidence.supposed === 0 && evidence.own >= evidence.needs;
}
