/**
 * Heights that were paced, worked out again with the pace in force: a height keeps the pace of its moment until somebody says
 * that another one was right.
 */
import { measure } from '../measuring/height/index.ts';
import type { Act } from '../note/acts.ts';
import { sizes } from '../note/limits.ts';
import type { Measurement } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';

/** Each height of a tree that this person paced, with the pace in force now; what is changed is said tree by tree. */
export function paceAgain({ book, settings, device }: Context): Outcome {
  const { pace } = settings;
  if (pace === null) return refused('No pace is known yet. Say it, or walk a known distance.');
  const person = settings.person ?? device;
  const changed: { readonly id: string; readonly tree: string; readonly next: Measurement }[] = [];
  for (const tree of book.trees())
    for (const id of tree.heights) {
      const node = book.height(id);
      const said = node?.said.at(-1)?.value;
      if (!node || !said || node.person !== person || !('distance' in said)) continue;
      const { distance } = said;
      if (distance.by === 'length') continue;
      const next = { ...said, distance: { ...distance, pace: { feet: pace.feet, sdFeet: pace.sdFeet } } };
      const result = measure(next, settings);
      if (result.ok && Math.abs(result.value.feet - (node.feet ?? 0)) > 0.05)
        changed.push({ id, tree: tree.id, next });
    }
  const with_ = `a pace of ${wording.paceLength(pace.feet, settings.units)}`;
  if (changed.length === 0) return refused(`No height that you paced comes out otherwise with ${with_}.`);
  if (changed.length > sizes.acts)
    return refused(`More than ${sizes.acts} heights were paced: say those that matter again, tree by tree.`);
  const acts = changed.map(({ id, next }): Act => ({ act: 'remeasure', target: id, measurement: next }));
  return kept(acts, (after, { units }) => {
    const told = [...new Set(changed.map(({ tree }) => tree))].slice(0, 5).flatMap((id) => {
      const tree = after.tree(id);
      return tree?.heightFt == null || tree.heightSdFt === null
        ? []
        : [`tree ${tree.number} ${wording.length(tree.heightFt, units, tree.heightSdFt)}`];
    });
    const count = changed.length === 1 ? '1 height' : `${changed.length} heights`;
    return `${count} worked out again with ${with_}: ${wording.list(told)}.`;
  });
}
