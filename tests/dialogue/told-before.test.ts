/** What is handed to readers that look at more than the note itself. */
import { expect, it } from 'vitest';
import { nothingBefore } from '../../shared/dialogue/told-before.ts';
import { converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

const talk = () => converse({ understand: understandTyped });

it('is nothing in a new book', async () => {
  expect((await talk()).session.before).toEqual(nothingBefore);
});

it('has the last two utterances in the notebook own words, the newest first, with their units', async () => {
  const { session, say } = await talk();
  await say('eye height 1.6 metres', 'units metres', 'plot 3, 400 square metres, beech 40', 'sycamore 33');
  expect(session.before).toEqual({
    told: ['sycamore dbh thirty three', 'plot three, four hundred square metres, beech dbh forty'],
    metric: true,
  });
});

it('has no offer that nobody answered', async () => {
  const { session, say } = await talk();
  await say('red maple twelve inches', 'sugar maple twelve inches by the old ford, frobnicated');
  expect(session.question).not.toBeNull();
  expect(session.before.told).toEqual(['red maple dbh twelve inches']);
});
