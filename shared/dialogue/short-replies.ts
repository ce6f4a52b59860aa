/** Replies as long as they are wanted. */
import type { Settings } from '../book/settings.ts';
import type { Note } from '../note/note.ts';
import type { Outcome } from './outcome.ts';

const sentenceEnd = /(?<=[.?!])\s+(?=[A-Z])/;
/** What is open or lost is told however short. */
const neverLeft = /still open|\?$|^Not kept|^Still /;
/** Answers are what was asked for, and what was taken back must be plain. */
const toldWhole: ReadonlySet<Note['kind']> = new Set([
  'ask',
  'answer',
  'pick',
  'scratch',
  'undo',
  'restore',
  'change',
] as const);

/**
 * The reply, or only its first sentence where that is wanted and the note was kept without a doubt or a question: the tree,
 * its figures and what they come to.
 *
 * With short answers "Tree 3, red oak, 14 inches, dead. No height needed." is "Tree 3, red oak, 14 inches, dead."
 */
export function replyAsWanted(
  { short }: Pick<Settings, 'short'>,
  note: Note,
  { state, asks, doubts = [] }: Pick<Outcome, 'state' | 'asks' | 'doubts'>,
  reply: string,
): string {
  if (!short || state !== 'kept' || asks !== undefined || doubts.length > 0 || toldWhole.has(note.kind))
    return reply;
  return reply
    .split(sentenceEnd)
    .filter((sentence, at) => at === 0 || neverLeft.test(sentence))
    .join(' ');
}
