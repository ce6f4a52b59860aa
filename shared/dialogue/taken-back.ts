/** The reply to a taking back: what went, what is in hand then, and what is asked again. */
import type { Book, DeviceState } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import type { DeviceId } from '../note/journal.ts';
import * as wording from '../wording/wording.ts';
import { handWords } from './naming.ts';
import { type Context, kept, type Outcome } from './outcome.ts';

/** The question that is asked again because its answer was taken back. */
export function askedAgain(before: DeviceState, book: Book, device: DeviceId): string {
  const newest = book.deviceState(device).questions.at(-1);
  return newest && !before.questions.some(({ entry }) => entry === newest.entry)
    ? ` ${newest.question.text}`
    : '';
}

/** Taken back, with its name, and what is in hand then. Names are those of before. */
export function takenBack(
  context: Context,
  acts: readonly Act[],
  names: readonly string[],
  tail = '',
): Outcome {
  const { book, device } = context;
  const before = { ...book.deviceState(device) };
  return kept(
    acts,
    (after, { units }) =>
      `Scratched: ${wording.list(names, 'and')}. ${handWords(after, device, units)}${askedAgain(before, after, device)}${tail}`,
  );
}
