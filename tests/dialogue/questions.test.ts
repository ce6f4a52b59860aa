/** Questions aloud: broken down, of a genus, errors at a level, look-ups. Plots are a tenth of an acre: a tree is ten an acre. */

import { describe, expect, it } from 'vitest';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { tQuantile } from '../../shared/core/statistics.ts';
import { questionTopics } from '../../shared/note/question-topics.ts';
import { converse } from '../support/conversation.ts';

const wood = [
  'plot one, tenth acre',
  'red oak sixteen, two logs',
  'red oak twelve',
  'beech ten',
  'plot two, tenth acre',
  'white oak fourteen',
  'red oak ten, dead',
  'plot three, tenth acre',
  'beech nine',
] as const;

async function inTheWood() {
  const one = await converse();
  await one.say(...wood);
  return one;
}

describe('a question', () => {
  it('for the tallest knows a tree of a genus only, after a second height of it', async () => {
    const { say } = await converse();
    await say(
      'eye height five feet',
      'my pace is five feet',
      'quaking aspen twenty six inches',
      'twelve paces',
    );
    await say('white pine thirty one inches', 'nineteen paces');
    expect(await say('tallest tree')).toMatch(/^100 feet: tree 2, white pine/);
    await say('one hundred feet');
    expect(await say('tallest tree')).toMatch(/^10\d feet: tree 2, white pine/);
    // The thickest, too, when its diameter is said right.
    await say('tree two was thirty two inches');
    expect(await say('thickest tree')).toMatch(/tree 2, white pine/);
  });

  it('which species there are is answered with each and its count', async () => {
    const { say } = await inTheWood();
    const each = 'Northern red oak 3, American beech 2 and white oak 1.';
    expect(await say('which species')).toBe(each);
    expect(await say('break it down by species')).toBe(each);
  });

  it('is broken down by genus, plot and status', async () => {
    const { say } = await inTheWood();
    expect(await say('by genus')).toBe('Oak 4 and beech 2.');
    expect(await say('by plot')).toBe('Plot 1 3, plot 2 2 and plot 3 1.');
    expect(await say('how many trees by status')).toBe('Live 5 and dead 1.');
  });

  it('of an amount is broken down with its unit', async () => {
    const { say } = await inTheWood();
    // (10 x 0.005454 x (16^2 + 12^2)) / 3 = 7.3; 10 x 0.005454 x (100 + 81) / 3 = 3.3; 10 x 0.005454 x 196 / 3 = 3.6
    expect(await say('basal area by species')).toBe(
      'Northern red oak 7.3 square feet an acre, white oak 3.6 square feet an acre and American beech 3.3 square feet an acre.',
    );
  });

  it('of a genus gives each of its species', async () => {
    const { say } = await inTheWood();
    expect(await say('how many oak')).toBe('Northern red oak 3 and white oak 1.');
  });

  it("of the sampling error takes the level that is said, by Student's t", async () => {
    const { say, session } = await inTheWood();
    const { value, se, df } = totalsOf(session.book).basalArea();
    for (const [words, level] of [
      ['sampling error', 0.95],
      ['sampling error of basal area at ninety percent', 0.9],
    ] as const) {
      const percent = (100 * tQuantile(0.5 + level / 2, df) * se!) / value!;
      const said =
        percent > 100 ? 'with an error larger than itself' : `give or take ${percent.toFixed(0)} percent`;
      expect(await say(words)).toContain(`${said} at ${100 * level} percent`);
    }
  });

  it('of one tree gives all of it', async () => {
    const { say } = await inTheWood();
    expect(await say('what was tree one')).toBe(
      'Tree 1 on plot 1, northern red oak, 16 inches, 2 logs, no height yet.',
    );
    expect(await say('how tall was the beech')).toMatch(/^Tree 6 on plot 3, American beech, 9 inches/);
    expect(await say('height of tree nine')).toBe('There is no tree 9.');
  });

  it('of what was said reads it back', async () => {
    const { say } = await inTheWood();
    expect(await say('what did i just say')).toBe('Tree 6, American beech, 9 inches.');
    expect(await say('read back the last three')).toBe(
      'Tree 6, American beech, 9 inches. Plot 3, a tenth of an acre. Tree 5, northern red oak, 10 inches, dead.',
    );
  });

  it('of who is measuring', async () => {
    const { say } = await converse();
    expect(await say('who am i')).toMatch(/^Nobody was named/);
    expect(await say('i am linnet', 'who am i')).toBe('Linnet.');
  });

  it('of any topic has a help sentence', () => {
    for (const { help } of Object.values(questionTopics)) expect(help).toMatch(/^[A-Z].*\.$/);
  });
});
