/** How many clips a lesson takes, and how long they may be: known before anything of learning is loaded. */
export const lessonLimits = {
  /** Fewer clips than this teach nothing that could be judged. */
  least: 15,
  /** The latest count; more take longer and hardly help. */
  most: 80,
  /** Seconds of a clip: one window of the model. */
  seconds: 11,
} as const;
