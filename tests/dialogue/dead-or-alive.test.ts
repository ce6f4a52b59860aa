/** A tree is taken back by its kind and whether it stands dead: only such a one, never another. */
import { expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

test('"the dead birch" is the dead one, however many stand there alive', async () => {
  const { say } = await converse({ understand: understandTyped });
  await say('paper birch 12, dead', 'paper birch 14', 'red oak 16');
  expect(await say('drop the dead birch')).toMatch(/^Scratched: tree 1, paper birch, 12 inches, dead\./);
  expect(await say('undo')).toMatch(/^Back again: tree 1, paper birch, 12 inches, dead\./);
  expect(await say('get rid of the dead one')).toMatch(/^Scratched: tree 1/);
});

test('where none is dead, none is taken back', async () => {
  const { session, say } = await converse({ understand: understandTyped });
  await say('paper birch 14', 'red oak 16');
  expect(await say('scratch the dead birch')).toBe(
    'There is no dead birch here. Say the tree by its number.',
  );
  expect([...session.book.trees()]).toHaveLength(2);
});

test.each([
  ['bin the standing dead hemlock', { species: 'hemlock', status: 'dead' }],
  ['take off that dead red oak', { species: 833, status: 'dead' }],
  ['delete the big dead pine', { species: 'pine', status: 'dead' }],
  ['get rid of the cull beech', { species: 'beech', status: 'cull' }],
  ['cross off that dead spruce', { species: 'spruce', status: 'dead' }],
  ['delete the dead one', { status: 'dead' }],
])('%s', (said, of) => {
  expect(keptOf(said)).toEqual([{ kind: 'scratch', of }]);
});
