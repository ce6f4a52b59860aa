/** "Leave it out", "skip it": what was told or offered just now is not wanted; nothing that was kept before is touched. */
import type { OpenQuestion, Tree } from '../book/book.ts';
import type { Question } from '../note/acts.ts';
import { type Entry, meantBy } from '../note/journal.ts';
import { borderMark } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { completed, dropped } from './answer-outcomes.ts';
import { scratchableEntries, treeOfAct } from './device-entries.ts';
import { asking, type Context, type Outcome, refused } from './outcome.ts';
import { scratchTree } from './scratched-records.ts';
import { treeOutcome } from './trees.ts';

/** What a question holds that is not kept yet: of the others the answer is a value of something that stands. */
const holding: ReadonlySet<Question['about']> = new Set([
  'confirm',
  'reading',
  'rest',
  'doubt',
  'another',
  'face',
  'diameter',
]);

/** Whether the last reply put the question; where nobody knows what that was, the newest question is taken for it. */
const wasJustPut = ({ lastReply }: Context, { question }: OpenQuestion): boolean =>
  lastReply?.includes(question.text) ?? true;

/** "Leave it out" as an answer: what is asked about is dropped; null where the question holds nothing back. */
export function leaveOutAsked(context: Context, open: OpenQuestion): Outcome | null {
  const [offer] = open.question.options;
  // "Leave out tree two?" is asked.
  if (offer?.note.kind === 'scratch' && wasJustPut(context, open))
    return completed(context, open, offer.note);
  return holding.has(open.question.about) && wasJustPut(context, open)
    ? dropped(context, open, 'Left out.')
    : null;
}

/** The last thing that was done, with the tree that it is of. */
function lastTold({ book, deviceState }: Context): { entry: Entry; tree: Tree | null } | null {
  for (const entry of scratchableEntries(book, deviceState)) {
    const ids = entry.acts.map((act) => treeOfAct(book, act));
    return { entry, tree: book.tree(ids.find((id) => id !== null) ?? null) };
  }
  return null;
}

const isOnBorder = (entry: Entry, tree: Tree): boolean =>
  meantBy(entry).kind === 'borderline' || tree.marks.includes(borderMark);

/** The tree that was told last does not count; what was refused just before was not kept at all. */
export function leaveOut(context: Context): Outcome {
  if (context.afterRefusal === true) return refused('Nothing of that was kept.');
  const last = lastTold(context);
  if (last === null || last.tree === null)
    return refused('Which tree shall I leave out? Say scratch, and what it is.');
  const { entry, tree } = last;
  // It stays as what was found out of the plot.
  if (isOnBorder(entry, tree)) {
    const deviceState = { ...context.deviceState, tree: tree.id };
    return treeOutcome({ ...context, deviceState }, { kind: 'tree', facts: { border: 'out' } });
  }
  return scratchTree(context, tree.number);
}

/** "Skip it" where nothing was asked just now: the tree that was told last may be meant, which is asked. */
export function skipLast(context: Context): Outcome | null {
  const last = context.afterRefusal === true ? null : lastTold(context);
  const begun = last?.tree != null && last.entry.acts.some(({ act }) => act === 'tree') ? last.tree : null;
  if (begun === null) return null;
  const words = wording.treeFacts(begun, context.settings.units);
  return asking({
    about: 'confirm',
    text: `Leave out tree ${begun.number}, ${words}?`,
    options: [{ say: 'leave it out', note: { kind: 'scratch', tree: begun.number } }],
  });
}

/** "Skip it" while an older question is open, that was not put again just now. */
export const skipsTold = (context: Context, open: OpenQuestion): Outcome | null =>
  wasJustPut(context, open) ? null : skipLast(context);
