/** What is fetched later, in one piece: answers to questions, asked here and asked of the book; taking back and saying right; walks, plans and prices. `later-parts.ts` is its door. */
import { answer, answerNamed } from './answers.ts';
import { change, readAgain } from './corrections.ts';
import { bordersOutcome, countOutcome } from './counts.ts';
import { behindLate } from './late-yes.ts';
import { skipLast } from './left-out.ts';
import type { LaterParts } from './outcome.ts';
import { changePointed, isPointing } from './pointing.ts';
import { restore, undo } from './putting-back.ts';
import { partOutcome } from './some-of-several.ts';
import { leastOutcome, planOutcome } from './stand-plan.ts';
import { scratch } from './taking-back.ts';

export { answerAsk } from './asking.ts';
export { land } from './land/land.ts';
export { phoneTalk } from './phones.ts';
export const answers: LaterParts['answers'] = { answer, answerNamed, behindLate };
export const mending: LaterParts['mending'] = {
  change: (context, note, asSaid) =>
    note.part !== undefined
      ? partOutcome(context, note)
      : isPointing(note)
        ? changePointed(context, note, asSaid)
        : change(context, note, asSaid),
  readAgain,
  restore,
  scratch,
  undo,
  skipLast,
  ofPlots: (context, note) => {
    if (note.op === 'plan') return planOutcome(context, note);
    if (note.op === 'least') return leastOutcome(context, note);
    return note.op === 'borders' ? bordersOutcome(context, note) : countOutcome(context, note);
  },
};
