/**
 * A height that is measured again. "Let me do it over" takes nothing back: the one that is there stays until the new one is
 * said, which takes its place. Who wants both says "same tree"; who wants none of it says "scratch the height".
 */
import type { HeightNode } from '../book/height-node.ts';
import type { Act } from '../note/acts.ts';
import type { NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { standing } from './device-entries.ts';
import { heightOutcome } from './heights.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';

type Held = Pick<Context, 'book' | 'deviceState'>;

/** The height that was measured last: of the tree in hand, else of none. */
export function lastHeightOf({ book, deviceState }: Held): HeightNode | null {
  const tree = book.tree(deviceState.tree);
  if (tree === null) return book.height(deviceState.height);
  return book.height(tree.heights.findLast((id) => book.height(id)) ?? null);
}

/** "I'll shoot it again", where nothing is asked. */
export function redoOutcome(context: Context): Outcome {
  const node = lastHeightOf(context);
  const tree = context.book.tree(node?.tree ?? context.deviceState.tree);
  if (node === null)
    return refused(
      tree === null
        ? 'There is no height to measure again.'
        : `Tree ${tree.number} has no height yet: say it when you have it.`,
    );
  const act: Act[] = tree === null ? [] : [{ act: 'hand', target: tree.id }];
  const of =
    tree === null ? 'The height' : `Tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)},`;
  return kept(act, (_, { units }) =>
    node.value === null
      ? `${of} waits for its height: say it again.`
      : `${of} stays at ${wording.length(node.value.feet, units, node.value.sdFeet)} until you say the new one, which takes its place.`,
  );
}

/** The height whose place the next one takes; null where nobody said so just before. */
export function toBeRedone(held: Held): HeightNode | null {
  for (const { note, acts, settles } of standing(held.book, held.deviceState)) {
    if (note.kind === 'answer' && note.answer === 'redo')
      return settles === undefined ? lastHeightOf(held) : null;
    if (acts.some(({ act }) => act !== 'remark' && act !== 'setting')) return null;
  }
  return null;
}

/** The height that was measured again, in the place of the one before. */
export function redoneAs(context: Context, before: HeightNode, note: NoteOf<'height'>): Outcome {
  const was = before.value;
  const outcome = heightOutcome(context, note.height, before.tree, note, { remeasure: before.id });
  if (outcome.state !== 'kept' || was === null) return outcome;
  return {
    ...outcome,
    say: (after, now) =>
      `${outcome.say(after, now)} It takes the place of ${wording.length(was.feet, now.units, was.sdFeet)}.`,
  };
}
