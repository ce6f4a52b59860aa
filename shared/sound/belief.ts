/**
 * How far to believe what was heard. A grammar search always finds some note in any talk; what tells a note from
 * talk, and from a note with one foreign word, is how much worse the note's phones fit than the best phones without
 * any grammar. Knows neither grammar nor model, so page and server judge alike.
 */

/** What the judgement needs of a search's best hypothesis. */
export interface Fit {
  /** Share of the best meaning among all meanings found, 0 to 1. */
  readonly posterior: number;
  /** Nats lost against the free phone path: before the first word, by each word, between and behind the words. */
  readonly lead: number;
  readonly words: readonly { readonly margin: number; readonly gap: number }[];
  /** Frames in which the free path hears a phone. */
  readonly speechFrames: number;
}

/**
 * Logistic regression of "this is what was said" on three measures; fitted by `npm run bench -- belief` on clips of
 * six voices that the model was never trained on: notes clean, at 10 and 0 dB, notes with one word replaced by a
 * foreign one, and talk. Fit them anew with every new acoustic model or a grammar of another size.
 */
export const beliefWeights = {
  constant: 1.15,
  /** Per square root of a nat lost in total. */
  loss: -0.93,
  /** Per nat of log odds of the best meaning against the others found; the odds are capped at `mostOdds`. */
  odds: 0.35,
  /** Per factor e of length: a loss weighs less on a longer note. */
  length: 0.31,
} as const;

/** The odds of the best meaning count no further than 10 000 to 1: the search sees only its beam. */
const mostOdds = Math.log(10_000);

/** Below this belief nothing is offered: it was no note. */
export const refuseBelow = 0.25;
/** Fewer frames of speech (20 ms each) than the shortest word has are a click or a breath. */
export const leastSpeechFrames = 2;

/** Nats lost in total against the free phone path; 0 is a perfect fit. */
export function totalLoss(fit: Fit): number {
  return fit.words.reduce((sum, word) => sum + word.margin + word.gap, fit.lead);
}

/**
 * Probability, 0 to 1, that the best hypothesis is what was said.
 *
 * @example belief({ posterior: 0.99, lead: 0, words: [{ margin: 30, gap: 0 }], speechFrames: 20 }) // near 0
 */
export function belief(fit: Fit): number {
  const odds = Math.log(Math.max(fit.posterior, 1e-9) / Math.max(1 - fit.posterior, 1e-9));
  const sum =
    beliefWeights.constant +
    beliefWeights.loss * Math.sqrt(Math.max(0, totalLoss(fit))) +
    beliefWeights.odds * Math.max(-mostOdds, Math.min(mostOdds, odds)) +
    beliefWeights.length * Math.log(Math.max(1, fit.speechFrames));
  return 1 / (1 + Math.exp(-sum));
}
