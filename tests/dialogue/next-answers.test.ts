/** What comes behind a question that it does not answer is a note of its own. */
import { expect, it } from 'vitest';
import { converse } from '../support/conversation.ts';

it('another kind behind "which hickory" is the next tree, one of its kind is the answer', async () => {
  const one = await converse();
  await one.say('factor ten', 'plot one', 'two hickory');
  expect(await one.say('red maple')).toContain('Tree 2, red maple');
  const other = await converse();
  await other.say('factor ten', 'plot one', 'two hickory');
  expect(await other.say('shagbark hickory')).toContain('Tree 1, 2 alike, shagbark hickory');
});

it('what was taped is a distance, also while a pace is asked for', async () => {
  const one = await converse();
  await one.say('eye height five feet', 'red maple fourteen', 'twenty paces');
  await one.say('fifty eight feet taped');
  expect([...one.session.book.trees()][0]?.heightFt).toBeCloseTo(63, 5);
});

it('a name that is said to mean a species counts those that were told by it', async () => {
  const one = await converse();
  await one.say('metric', 'spruce thirty four', 'spruce forty one', 'spruce means norway spruce');
  expect(await one.say('how many spruce')).toMatch(/^2 trees/);
  expect(await one.say('for the spruce')).toContain('spruce');
});

it('a length that can be no diameter is how far one stood', async () => {
  const one = await converse();
  await one.say('eye height five feet', 'hemlock fourteen', 'sixty two feet');
  const tree = () => [...one.session.book.trees()][0];
  await one.session.tell({
    words: 'the hemlock was 68 feet back',
    candidates: [
      {
        notes: [{ kind: 'change', of: { species: 'hemlock' }, number: { value: 68, unit: 'ft' } }],
        words: 'the hemlock was 68 feet back',
        posterior: 1,
      },
    ],
  });
  expect(tree()?.diameterIn).toBe(14);
  expect(tree()?.heightFt).toBeCloseTo(73, 5);
});
