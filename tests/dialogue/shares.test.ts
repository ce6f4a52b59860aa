/**
 * Shares, by hand: with a factor of ten every tree that is in stands for ten square feet an acre whatever its size, so
 * shares of basal area are shares of trees told; trees an acre are ten over 0.005454 d^2.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';

describe('what share is oak', () => {
  let talk: Conversation;
  beforeAll(async () => {
    talk = await converse();
    await talk.say('plot one factor ten', 'red oak sixteen', 'black oak ten', 'beech twelve', 'beech twelve');
  });

  test('of basal area, where nothing else is said', async () => {
    expect(await talk.say('what share is oak')).toBe(
      'Oak is 50 percent of the basal area: 20 of 40 square feet an acre.',
    );
    expect(await talk.say('what percent is red oak')).toMatch(/^Northern red oak is 25 percent/);
    expect(await talk.say('share of hemlock')).toMatch(/ is 0 percent /);
  });

  test('of the trees, which small ones are more of', async () => {
    const density = (inches: number): number => 10 / (0.005454 * inches ** 2);
    const oak = density(16) + density(10);
    const all = oak + 2 * density(12);
    expect(await talk.say('what share of the trees is oak')).toContain(
      `Oak is ${Math.round((100 * oak) / all)} percent of the trees: ${Math.round(oak)} of ${Math.round(all)}`,
    );
  });

  test('of each species or genus', async () => {
    const each = 'American beech 50 percent, northern red oak 25 percent and black oak 25 percent.';
    expect(await talk.say('species composition')).toBe(each);
    expect(await talk.say('basal area by species in percent')).toBe(each);
    expect(await talk.say('basal area by genus in percent')).toBe('Oak 50 percent and beech 50 percent.');
  });

  test('is asked of what adds up alone', async () => {
    expect(await talk.say('mean height by species in percent')).toMatch(/^Shares are told of what adds up/);
  });

  test('of the trees themselves, where no plot has a size', async () => {
    const loose = await converse();
    await loose.say('red oak sixteen', 'beech twelve');
    // 16^2 / (16^2 + 12^2)
    expect(await loose.say('what share is red oak')).toMatch(/^Northern red oak is 64 percent/);
  });

  test('is not told of nothing', async () => {
    const empty = await converse();
    expect(await empty.say('what share is oak')).not.toMatch(/NaN|percent/);
  });
});
