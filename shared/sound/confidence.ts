/**
 * How far to believe what was heard. A grammar search always finds some note in any talk; what tells a note from
 * talk, and from a note with one foreign word, is how much worse the note's phones fit than the best phones without
 * any grammar: over the whole note, and where it fits worst. Knows neither grammar nor model, so page and server
 * judge alike.
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
  /** Frames in which the free path hears a phone. */
  readonly speechFrames: number;
}

/**
 * Logistic regression of "this is what was said" on these measures; fitted by `npm run bench -- belief` on clips of
 * voices that the model was never trained on: notes clean and in noise, notes with one word replaced by a foreign one
 * or put in, talk, the tool's own replies. Fit them anew with every new acoustic model or a grammar of another size.
 */
export const confidenceWeights = {
  constant: 1.805,
  /** Per square root of a nat lost in total. */
  loss: -0.223,
  /** Per nat of log odds of the best meaning against the others found; the odds are capped at `mostOdds`. */
  odds: 0.28,
  /** Per factor e of length: a loss weighs less on a longer note. */
  length: 0.512,
  /** Per square root of a nat lost by the worst word, or before the first: one bad word decides. */
  worst: -1.319,
  /** Per square root of a nat lost by a word for each of its frames: the worst word for its length. */
  worstForLength: -0.622,
  /** Per nat that the note costs for being seldom said. */
  unusual: -0.064,
  /** Per nat of that for how odd its numbers are: a word misheard seldom gives a sensible note. */
  odd: -1.09,
} as const;

/** The odds of the best meaning count no further than 10 000 to 1: the search sees only its beam. */
const mostOdds = Math.log(10_000);
/** Frames below which a word is no shorter to lose on. */
const shortWord = 3;

/** Below this belief nothing is offered: it was no note. */
export const refuseBelow = 0.25;
/** Fewer frames of speech (20 ms each) than the shortest word has are a click or a breath. */
export const leastSpeechFrames = 2;

/** The measures in the order of `beliefWeights`. */
export function measuresOf({ posterior, lead, words, unusual, odd, speechFrames }: SoundFit): number[] {
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
  return [
    1,
    Math.sqrt(Math.max(0, total)),
    Math.max(-mostOdds, Math.min(mostOdds, odds)),
    Math.log(Math.max(1, speechFrames)),
    Math.sqrt(Math.max(0, worst)),
    Math.sqrt(worstForLength),
    unusual,
    odd,
  ];
}

const weights = Object.values(confidenceWeights);

/**
 * Probability, 0 to 1, that the best hypothesis is what was said.
 *
 * @example
 * const foreign = { margin: 30, gap: 0, from: 0, to: 20 };
 * confidence({ posterior: 0.99, lead: 0, words: [foreign], unusual: 8, odd: 0, speechFrames: 20 }); // near 0
 */
export function confidence(fit: SoundFit): number {
  const sum = measuresOf(fit).reduce((total, measure, k) => total + measure * weights[k]!, 0);
  return 1 / (1 + Math.exp(-sum));
}
