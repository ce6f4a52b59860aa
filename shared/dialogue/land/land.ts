/** Everything that is said of walks, plans, ways and prices: which file works it out. */
import { assertNever } from '../../core/result.ts';
import type { NoteOf } from '../../note/note.ts';
import type { Context, LandTalk, LandTopic, Outcome } from '../outcome.ts';
import { bringOutcome } from './bringing.ts';
import { aroundOutcome, arrived, offPlan, placeOutcome, plotsLeftAnswer, wayOutcome } from './leading.ts';
import { layoutOutcome } from './planning.ts';
import {
  answerWalk,
  changeLeg,
  closeOutcome,
  legOutcome,
  slopeOfLast,
  startOutcome,
  useOutcome,
  walkAnswer,
} from './walking.ts';
import { priceOutcome, worthAnswer } from './worth.ts';

const edgeOps = {
  start: startOutcome,
  use: useOutcome,
  bring: bringOutcome,
  close: (context) => closeOutcome(context, () => placeOutcome(context, { kind: 'place', start: true })),
} as const satisfies Record<
  NoteOf<'traverse'>['op'],
  (context: Context, note: NoteOf<'traverse'>) => Outcome
>;

export const land: LandTalk = {
  outcome(context, note) {
    switch (note.kind) {
      case 'traverse':
        return edgeOps[note.op](context, note);
      case 'leg':
        return legOutcome(context, note);
      case 'layout':
        return layoutOutcome(context, note);
      case 'way':
        return wayOutcome(context, note);
      case 'place':
        return placeOutcome(context, note);
      case 'around':
        return aroundOutcome(context, note);
      case 'price':
        return priceOutcome(context, note);
      default:
        return assertNever(note);
    }
  },
  ask(context, note) {
    const about = note.about as LandTopic;
    if (about === 'worth') return worthAnswer(context, note);
    return about === 'plotsLeft' ? plotsLeftAnswer(context) : walkAnswer(context, about);
  },
  answer: answerWalk,
  change(context, note) {
    return changeLeg(context, note);
  },
  slope: slopeOfLast,
  arrived,
  offPlan,
};
