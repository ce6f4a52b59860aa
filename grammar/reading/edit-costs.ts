/**
 * What the tolerant reader pays, in nats, for liberties with whole words, and from where on it asks or refuses. The
 * single phones' costs are in `phone-confusion.ts`.
 */
export const editCosts = {
  /** A word of the note found by its sound although another word was written. */
  respelled: 1,
  /** Every slipped phone of a written word, beside its own cost: writing knows no slurred phones. */
  writtenSlip: 1.5,
  /** More when the word that was written is in the vocabulary itself ("to" for two). */
  knownBySound: 1.5,
  /** A word taken for one of its known mishearings (tree, three). */
  alike: 2.5,
  /** A word of the note that was not said, whichever it was. */
  dropped: 6,
  /** A written word that nothing knows taken as a free word (a name, a remark); twice that for a known word. */
  free: 1.5,
  /** A free word found by its sound: one of some thousand words, none likelier than another. */
  heardFree: 8.5,
  /** A note behind another one: at a comma, and where nothing is written between them (then it is asked about). */
  joint: 5,
  openJoint: 10.5,
  /** Written words that are no part of the note. */
  filler: 0.3,
  doubled: 1.5,
  /** A word doubled in or beside a number: "eight eight paces" may be a stammer or a slipped eighty eight. */
  doubledNumber: 4,
  skipped: 8,
  /** Above what `decide` keeps: a number is never passed over in silence. */
  skippedNumber: 11,
  /** A slip of the keyboard; more when what was written is itself an English word. */
  key: 3,
  realWord: 2,
} as const;

/** From where on a reading is kept, asked about or refused; chosen by tests/grammar/make/tune-decision.ts. */
export const decisionLimits = {
  /** Kept: at least this share of belief, at most this cost in nats. */
  keepPosterior: 0.97,
  /** The same where only sounds are known, without the borders of words. */
  heardPosterior: 0.98,
  keepCost: 10,
  /** Asked between them: together at least this share, at most this cost. */
  askPosterior: 0.45,
  askCost: 18,
  /** A third one is offered with at least this share. */
  thirdPosterior: 0.12,
  /** Asked about alone, without the next likely one. */
  alonePosterior: 0.9,
  /** Asked for a missing word: readings that miss one at the same place hold at least this share. */
  missingPosterior: 0.6,
};
