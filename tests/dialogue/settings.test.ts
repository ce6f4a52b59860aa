/** Settings: all that are in use are told, and each says what it came to. */
import { describe, expect, it } from 'vitest';
import { converse } from '../support/conversation.ts';

describe('settings', () => {
  it('are all told when they are asked for, as far as they are not the usual ones', async () => {
    const { say } = await converse();
    expect(await say('settings')).toBe('No pace, no eye height, feet and paces of two steps.');
    await say('edge mirage', 'form class eighty', 'slope method on slope', 'attention word sprig');
    await say('laser scatter seven feet', 'assume sight one degree', 'use scribner', 'brush ten percent');
    expect(await say('settings')).toBe(
      'No pace, no eye height, feet, paces of two steps, 10 percent shorter ground, laser scatter 7 feet, ' +
        '1 supposed error changed, Scribner, form class 80, edge by mirage, plots on the slope and ' +
        'attention word sprig.',
    );
  });

  it('say what they came to, and how they are named when they are taken back', async () => {
    const { say } = await converse();
    expect(await say('edge walkthrough')).toBe('Edge by walkthrough.');
    expect(await say('undo')).toMatch(/edge walkthrough/);
    expect(await say('crew wren')).toBe('Wren it is.');
    expect(await say('metric')).toBe('Metres and centimetres.');
    expect(await say('attention word sprig')).toBe('I wait for "sprig".');
    expect(await say('no attention word')).toBe('No attention word.');
  });
});
