/** The smallest tree that is measured in the stand in hand: one below it is asked about before it is kept. */
import type { Settings } from '../book/settings.ts';
import type { Question } from '../note/acts.ts';
import type { NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import type { Context } from './outcome.ts';

/** Inches; null where every tree is measured. What was said before a stand was named holds in each that says nothing else. */
function leastDiameterOf({ leastDiameters }: Settings, stand: string | null): number | null {
  return leastDiameters.get(leastDiameters.has(stand) ? stand : null) ?? null;
}

/** Less than a tape can tell is no smaller. */
const slack = 1e-6;

/** Whether a tree is to be measured at all; null where it is. `target`: the tree that it is told of. */
export function askIfBelow(
  context: Context,
  pending: NoteOf<'tree'>,
  inches: number | null | undefined,
  target?: string,
): Question | null {
  const { book, device, settings, tongue } = context;
  const least = leastDiameterOf(settings, book.standOf(device)?.id ?? null);
  if (context.sure || least === null || inches == null || !(inches < least - slack)) return null;
  return {
    about: 'confirm',
    text: `${wording.sentence(wording.diameter(inches, settings.units))} is below the ${wording.diameter(least, settings.units)} you measure from. Keep it?`,
    options: [{ say: tongue.speak(pending), note: pending }],
    pending,
    ...(target === undefined ? {} : { target }),
  };
}
