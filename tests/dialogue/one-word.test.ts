/** In one wood a word means one tree: which it is is asked once, and the answer is of all that were told by it. */
import { expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

const typed = () => converse({ understand: understandTyped });
const kindsOf = (session: Awaited<ReturnType<typeof typed>>['session']): readonly (number | null)[] =>
  [...session.book.trees()].map(({ species }) => species);

test('four spruces ask once, and one answer is of all of them', async () => {
  const { session, say } = await typed();
  expect(await say('spruce 12')).toMatch(/^Tree 1, spruce, 12 inches\. Which spruce: .*\?$/);
  expect(await say('spruce 14')).toBe('Tree 2, spruce, 14 inches. Which spruce is still open.');
  expect(await say('spruce 9, dead')).toMatch(/Which spruce is still open\.$/);
  expect(await say('red')).toBe('Tree 1, red spruce, 12 inches. So are trees 2 and 3.');
  expect(await say('spruce 11')).toBe('Tree 4, red spruce, 11 inches.');
  expect(kindsOf(session)).toEqual([97, 97, 97, 97]);
  expect(session.question).toBeNull();
});

test('in one breath, too; taking the answer back opens the question again', async () => {
  const { session, say } = await typed();
  const reply = await say('spruce 12, spruce 14, spruce 9');
  expect(reply.match(/Which spruce:/g)).toHaveLength(1);
  expect(await say('norway')).toBe('Tree 1, Norway spruce, 12 inches. So are trees 2 and 3.');
  await say('undo');
  expect(new Set(kindsOf(session)).size).toBe(1);
  expect(kindsOf(session)).not.toContain(91);
  expect(session.question?.text).toMatch(/^Which spruce:/);
  expect(await say('red')).toBe('Tree 1, red spruce, 12 inches. So are trees 2 and 3.');
});

test('behind the question of another name it is put once more, in the place of the first', async () => {
  const { session, say } = await typed();
  await say('maple 12', 'pine 14');
  expect(await say('maple 11')).toMatch(/Which maple:/);
  expect(await say('red')).toMatch(/^Tree 3, red maple, 11 inches\. So is tree 1\. Still open: Which pine:/);
  expect(session.book.deviceState(session.surroundings.device).questions).toHaveLength(1);
});

test('a tree of which more is known by then is left as it is', async () => {
  const { session, say } = await typed();
  await say('spruce 12', 'spruce 14', 'tree 2 was a norway spruce', 'red');
  expect(kindsOf(session)).toEqual([97, 91]);
});
