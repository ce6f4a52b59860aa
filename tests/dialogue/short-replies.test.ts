/** How long replies are: short or whole, said in words, taken back like anything else. */
import { describe, expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const typed = () => converse({ understand: understandTyped });

describe('short answers', () => {
  test('are the first sentence of what is kept, until whole ones are wanted', async () => {
    const { say } = await typed();
    expect(await say('red oak 14, dead')).toBe(
      'Tree 1, northern red oak, 14 inches, dead. No height needed.',
    );
    expect(await say('you talk too much')).toBe('Short answers.');
    expect(await say('red oak 12, dead')).toBe('Tree 2, northern red oak, 12 inches, dead.');
    expect(await say('whole answers again')).toBe('Whole answers again.');
    expect(await say('red oak 9, dead')).toBe('Tree 3, northern red oak, 9 inches, dead. No height needed.');
  });

  test('leave out no question, no doubt, no answer and nothing of what is taken back', async () => {
    const { say } = await typed();
    await say('keep it short');
    expect(await say('spruce 12')).toMatch(/^Tree 1, spruce, 12 inches\. Which spruce: .*\?$/);
    expect(await say('spruce 14')).toMatch(/still open\.$/);
    await say('red');
    const whole = (await typed()).say;
    await whole('red spruce 12', 'red spruce 14');
    expect(await say('how many trees')).toBe(await whole('how many trees'));
    await say('red spruce 9, dead');
    await whole('red spruce 9, dead');
    expect(await say('undo')).toBe(await whole('undo'));
    expect(await say('red spruce 120')).toMatch(/\?/);
  });

  test('undo brings back the length of before', async () => {
    const { session, say } = await typed();
    await say('short answers');
    expect(session.settings.short).toBe(true);
    await say('undo');
    expect(session.settings.short).toBe(false);
  });

  test("are one person's: who talks next has whole ones", async () => {
    const { session, say } = await typed();
    await say("I'm Nell", 'short answers', "I'm Wren");
    expect(session.settings.short).toBe(false);
    await say("I'm Nell");
    expect(session.settings.short).toBe(true);
  });
});

describe('how long replies are is said in many ways', () => {
  test.each([
    'keep it short',
    'shorter answers',
    'you talk too much',
    'make your replies a bit shorter please',
    'could you keep it brief',
    'less chatter',
    'short answers from now on',
    "you don't have to repeat everything back",
    'no need to say so much',
    'your answers are too long',
    'stop repeating everything',
    'keep the answers short and sweet',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'control', op: 'short' }]);
  });

  test.each([
    'full answers again',
    'you can talk more again',
    'back to the normal answers',
    'say it all again',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'control', op: 'full' }]);
  });

  test('a tree of that name and a quiet voice are no such thing', () => {
    expect(keptOf('shortleaf pine 12')).toMatchObject([{ kind: 'tree' }]);
    expect(keptOf('stop talking')).toEqual([{ kind: 'control', op: 'quiet' }]);
    expect(keptOf('shorter answers, and slow down')).toEqual([
      { kind: 'control', op: 'short' },
      { kind: 'control', op: 'slower' },
    ]);
  });
});
