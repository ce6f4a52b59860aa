/**
 * "Oak, 60 percent at 30 metres, foot minus five" where an oak of 66 centimetres stands that has no height: it is most likely
 * that one's. It is asked before anything is kept, as it may be another oak too.
 */
import type { Tree } from '../book/book.ts';
import type { Note, NoteOf } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, type Outcome } from './outcome.ts';
import { treesOf } from './which-tree.ts';

/** Among more nobody wants to choose. */
const most = 3;
const begins = 'a new tree';

/** The question whose height it is; null where it begins a tree for sure. */
export function whoseHeight(context: Context, note: NoteOf<'tree'>): Outcome | null {
  const { facts, height } = note;
  const { species, ...others } = facts;
  const measured = height !== undefined || context.behind?.kind === 'height';
  if (species === undefined || Object.keys(others).length > 0 || !measured || wasAsked(context, note))
    return null;
  const trees = treesOf(context, { species }).filter((tree) => isWaiting(context, tree));
  const inHand = trees.filter(({ id }) => id === context.deviceState.tree);
  const among = inHand.length > 0 ? inHand : trees;
  if (among.length === 0 || among.length > most) return null;
  const { units } = context.settings;
  const named = (tree: Tree): string => `tree ${tree.number}, ${wording.treeFacts(tree, units)}`;
  const handOf = ({ number }: Tree): Note => ({
    kind: 'hand',
    tree: number,
    ...(height === undefined ? {} : { height }),
  });
  return asking({
    about: among.length === 1 ? 'confirm' : 'reading',
    text: `Is that ${wording.list([...among.map(named), begins], 'or')}?`,
    options: [...among.map((tree) => ({ say: named(tree), note: handOf(tree) })), { say: begins, note }],
  });
}

/** It stands on the plot in hand, was measured across, and has no height. */
const isWaiting = ({ deviceState }: Context, tree: Tree): boolean =>
  tree.plot === deviceState.plot &&
  tree.diameterIn !== null &&
  tree.heights.length === 0 &&
  tree.status !== 'dead';

/** "A new tree" was the answer. */
const wasAsked = ({ deviceState }: Context, note: Note): boolean =>
  deviceState.questions.some(({ question }) =>
    question.options.some(({ say, note: one }) => say === begins && sameNote(one, note)),
  );
