/**
 * What a mistake costs a crew, and what bringing it up costs: a value is brought up where the chance that it is wrong, times what
 * that would cost, is more. One table that the decision reads, so that whoever finds the tool too talkative or too silent
 * changes a cost, not a threshold. By judgement: nothing published says; the shares decide, not the seconds.
 */

export interface Cost {
  /** Of the crew's time. */
  readonly seconds: number;
  readonly of: string;
}

export const costs = {
  mistake: {
    seconds: 200,
    of: 'a wrong tree that counts: the way back to it and a second measurement, or a total that is off and nobody knows',
  },
  question: { seconds: 12, of: 'a question at the tree: hearing it, looking again, answering' },
  early: {
    seconds: 30,
    of: 'a question that the next note may answer unasked: of a diameter before its height, of a height with nothing beside it',
  },
  line: {
    seconds: 12,
    of: 'a line at the closing of a plot: hearing it, and often the way back to the tree',
  },
} as const satisfies Record<string, Cost>;

/** How what may be wrong is brought up. */
export type BroughtUp = Exclude<keyof typeof costs, 'mistake'>;

/**
 * Belief in a value below which bringing it up costs less than leaving it.
 * Example: `believedFor('question') === 0.94`
 */
export const believedFor = (as: BroughtUp): number => 1 - costs[as].seconds / costs.mistake.seconds;
