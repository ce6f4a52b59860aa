/**
 * How far to believe what was heard. A grammar search always finds some note in any talk; what tells a note from
 * talk, and from a note with one foreign word, is how much worse the note's phones fit than the best phones without
 * any grammar: over the whole note, and where it fits worst. In noise the network is as sure of a wrong word as of a right one,
 * so that its own doubt counts for nothing there. Knows neither grammar nor model, so page and server judge alike.
 */

/** What the judgement needs of a search's best hypothesis. */
interface SoundFit {
  /** Share of the best meaning among all meanings found, 0 to 1. */
  readonly posterior: number;
  /** Nats lost against the free phone path: before the first word, by each word, between and behind the words. */
  readonly lead: number;
  readonly words: readonly {
    readonly margin: number;
    readonly gap: number;
    /** First frame of the word and the frame after its last. */
    readonly from: number;
    readonly to: number;
  }[];
  /** What the note costs for being seldom said, nats. */
  readonly unusual: number;
  /** The part of it for how odd its numbers are. */
  readonly odd: number;
  /** Nats by which the sound alone leaves the words in doubt. */
  readonly doubt: number;
  /** Frames in which the free path hears a phone. */
  readonly speechFrames: number;
  /** Other sound under the words, 0 (none) to 1 (as loud as they are). */
  readonly noise: number;
}

/**
 * Logistic regression of "this is what was said" on these measures; fitted by `npm run bench -- belief` on clips of
 * voices that the model was never trained on: notes clean and in noise, notes with one word replaced by a foreign one
 * or put in, talk, the tool's own replies. Fit them anew with every new acoustic model or a grammar of another size.
 */
export const confidenceWeights = {
  constant: 2.926,
  /** Per square root of a nat lost in total; the doubt holds that loss, too. */
  loss: 0.949,
  /** Per nat of log odds of the best meaning against the others found; the odds are capped at `mostOdds`. */
  odds: 0.229,
  /** Per factor e of length: a loss weighs less on a longer note. */
  length: 0.305,
  /** Per square root of a nat lost by the worst word, or before the first: one bad word decides. */
  worst: -0.768,
  /** Per square root of a nat lost by a word for each of its frames: the worst word for its length. */
  worstForLength: -0.6,
  /** Per nat that the note costs for being seldom said. */
  unusual: -0.035,
  /** Per nat of that for how odd its numbers are: a word misheard seldom gives a sensible note. */
  odd: -1.016,
  /** Per square root of a nat by which the sound alone leaves the words in doubt: what tells notes in quiet. */
  doubt: -2.216,
  /** At full noise. */
  noise: -2.833,
  /** At full noise, per nat of the odds ... */
  oddsInNoise: 0.362,
  /** ... and per square root of a nat of doubt: in noise it tells nothing, as a wrong word is heard as surely as a right one. */
  doubtInNoise: 2.05,
} as const;

/**
 * Nats of log odds added to the belief: in quiet, and less at full noise. In quiet chosen with `npm run bench -- belief` on voices
 * and sentences left out of the fit: the loosest at which at most one near miss in a hundred is kept. In noise with
 * `npm run bench -- caution`, on days of voices of the training that no bench reports: within a twentieth of the cheapest there
 * where a note kept wrong costs as much as thirty to fifty questions, by judgement.
 */
const caution = { quiet: 0.594, noise: -3 } as const;

/** What is added to the log odds of a belief where there is so much noise, 0 to 1. */
export const cautionAt = (noise: number): number => caution.quiet + caution.noise * noise;

/** The odds of the best meaning count no further than 10 000 to 1: the search sees only its beam. */
const mostOdds = Math.log(10_000);
/** Frames below which a word is no shorter to lose on. */
const shortWord = 3;

/**
 * Nats of odds for a common word in the place of one of the note's (`grammar/decoding/rivals.ts`) from which it is asked, where
 * it is known what the person says; and how far such a note is believed at most. The strictest of those that `npm run bench --
 * caution` tries that asks about no more than four right notes in a thousand, in quiet and at 10 dB.
 */
const rivals = { from: 3.5, believed: 0.85 } as const;

/** Belief in a note beside the odds of its best rival, nats. */
export const besideRivals = (believed: number, rival: number): number =>
  rival < rivals.from ? believed : Math.min(believed, rivals.believed);

/** Below this belief nothing is offered: it was no note. */
export const refuseBelow = 0.25;
/** Fewer frames of speech (20 ms each) than the shortest word has are a click or a breath. */
export const leastSpeechFrames = 2;

/** The measures in the order of `confidenceWeights`. */
export function measuresOf(fit: SoundFit): number[] {
  const { posterior, lead, words, unusual, odd, doubt, speechFrames, noise } = fit;
  let total = lead;
  let worst = lead;
  let worstForLength = 0;
  for (const { margin, gap, from, to } of words) {
    const loss = margin + gap;
    total += loss;
    worst = Math.max(worst, loss);
    worstForLength = Math.max(worstForLength, loss / Math.max(shortWord, to - from));
  }
  const odds = Math.log(Math.max(posterior, 1e-9) / Math.max(1 - posterior, 1e-9));
  const capped = Math.max(-mostOdds, Math.min(mostOdds, odds));
  const doubted = Math.sqrt(Math.max(0, doubt));
  return [
    1,
    Math.sqrt(Math.max(0, total)),
    capped,
    Math.log(Math.max(1, speechFrames)),
    Math.sqrt(Math.max(0, worst)),
    Math.sqrt(worstForLength),
    unusual,
    odd,
    doubted,
    noise,
    noise * capped,
    noise * doubted,
  ];
}

const weights = Object.values(confidenceWeights);

/**
 * How far the best hypothesis is believed to be what was said, 0 to 1: its probability, on a scale on which what is kept
 * without a question begins at one belief in quiet and in noise (`caution`).
 *
 * @example
 * const foreign = { margin: 30, gap: 0, from: 0, to: 20 };
 * confidence({ posterior: 0.99, lead: 0, words: [foreign], unusual: 8, odd: 0, doubt: 30, speechFrames: 20, noise: 0 }); // near 0
 */
export function confidence(fit: SoundFit): number {
  const sum = measuresOf(fit).reduce((total, measure, k) => total + measure * weights[k]!, 0);
  return 1 / (1 + Math.exp(-sum - cautionAt(fit.noise)));
}
