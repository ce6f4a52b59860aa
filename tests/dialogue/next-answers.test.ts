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
