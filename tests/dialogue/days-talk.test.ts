/** What is said of the day: breaks, the weather, what is left for another day, silence, the report and the files. */
import { describe, expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const typed = () => converse({ understand: understandTyped });

describe('breaks', () => {
  test.each(['break for lunch', 'taking lunch', 'tea break', 'stopping for a coffee'])('%s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'control', op: 'pause' }]);
  });

  test.each(['back on', 'ok back at it', 'back from lunch', 'resuming now'])('%s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'control', op: 'resume' }]);
  });

  test('keep nothing, and leave the tree in hand', async () => {
    const { session, say } = await typed();
    await say('red oak 14');
    expect(await say('taking lunch')).toBe('All is kept so far.');
    expect(await say('back at it')).toBe('Ready for the next note.');
    await say('two logs');
    expect(session.book.treeNumbered(1)?.logs).toBe(2);
  });

  test('"back on" speaks again behind a mute, and listens again where it was told to stop', async () => {
    const { session, say } = await typed();
    expect(await say('mute for five minutes, Tomas is ringing the yard')).toBe('Quiet.');
    expect(session.settings.quiet).toBe(true);
    await say('ok back on');
    expect(session.settings.quiet).toBe(false);
    await say('stop listening');
    expect(await say('back on')).toBe('Listening.');
    expect(session.settings.listening).toBe(true);
  });

  test.each(['back fork, oak', 'back to plot two', 'a break at 12 feet'])('no coming back: %s', (said) => {
    expect(keptOf(said)).not.toEqual([{ kind: 'control', op: 'resume' }]);
    expect(keptOf(said)).not.toEqual([{ kind: 'control', op: 'pause' }]);
  });
});

describe('short answers', () => {
  test.each([
    'just give me the number back, skip the rest',
    'talk less, just the numbers',
    'raining, hands wet, keep the answers short',
    'no explanations please, only the results',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'control', op: 'short' }]);
  });
});

describe('what is left for another day is a remark', () => {
  test.each([
    'getting dark in here, leaving plots 3 and 4 for tomorrow',
    "we'll do the rest on Monday",
    'back tomorrow for plot 6',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([expect.objectContaining({ kind: 'remark' })]);
  });

  test.each(['do it again tomorrow', 'leave it', "it's getting dark", 'leave plot three out'])(
    'no such: %s',
    (said) => {
      expect(keptOf(said)?.some(({ kind }) => kind === 'remark') ?? false).toBe(false);
    },
  );
});

describe('the report and the files', () => {
  test('the report tells the totals and where it is', async () => {
    const { say } = await typed();
    await say('red oak 14', 'beech 9');
    const totals = await say('totals');
    expect(await say('give me the report, stands separate, stock table by species')).toBe(
      `${totals} The report and the table of trees are under Book, take it with you.`,
    );
  });

  test.each([
    'save it and send the tree list out as a spreadsheet file',
    'save it all and shut down',
    'is everything saved',
    'export the trees',
  ])('all is kept as it is said: %s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'ask', about: 'files' }]);
  });

  test.each(['save that one', 'send it to the mill', 'list the trees'])('no such: %s', (said) => {
    expect(keptOf(said)).not.toEqual([{ kind: 'ask', about: 'files' }]);
  });
});

test('a stick that is cut to the reach is a remark', () => {
  expect(keptOf("stick's cut to my reach, 26 inches")).toEqual([
    { kind: 'remark', text: "stick's cut to my reach, 26 inches" },
  ]);
});
