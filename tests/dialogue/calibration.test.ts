/** A known length is walked and counted, as people tell it while they do it: once, back again, and with the count alone. */
import { describe, expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const typed = () => converse({ understand: understandTyped });

describe('a walk', () => {
  test('whose counts come out as single steps is kept as what it comes to', async () => {
    const { session, say } = await typed();
    // 100 / 38 is 2.63.
    expect(await say('pacing off the hundred foot tape, 38 paces')).toMatch(
      /^2\.63 feet for each step that you count/,
    );
    expect(session.settings.pace?.feet).toBeCloseTo(200 / 38, 6);
    // 26 of them and an eye of five feet: 26 x 2.632 + 5 is 73.4.
    await say('eye height five feet', 'red oak 14, 26 paces');
    expect([...session.book.trees()][0]?.heightFt).toBeCloseTo((26 * 100) / 38 + 5, 6);
  });

  test('that counts single steps tells how trees that wait for it were paced, too', async () => {
    const { session, say } = await typed();
    await say('eye height five feet', 'white oak 12', '30 paces');
    // 100 / 41 is 2.439; 30 of them and the eye are 78.2.
    await say('41 paces in a hundred feet', 'red oak 12, 30 paces');
    for (const { heightFt } of session.book.trees()) expect(heightFt).toBeCloseTo(3000 / 41 + 5, 6);
    expect([...session.book.trees()]).toHaveLength(2);
  });

  test('is asked about where paces were counted before', async () => {
    const { say } = await typed();
    await say('19 paces in 100 feet');
    expect(await say('38 paces in 100 feet')).toBe(
      'That is 2.63 feet each, a single step. Do you count every step?',
    );
    expect(await say('yes')).toMatch(/for each step that you count from 2 walks/);
  });

  test('is told again by its count: as a number, as paces, or by the way back', async () => {
    const { session, say } = await typed();
    await say('40 paces in 100 feet');
    for (const again of ['41', '39 paces', 'coming back I got 40', 'did it again, 41', 'the other way 40'])
      expect(await say(again), again).toMatch(/^100 feet once more: /);
    // 600 feet in 241.
    expect(session.settings.walks).toHaveLength(6);
    expect(session.settings.pace?.feet).toBeCloseTo(1200 / 241, 6);
  });

  test('undone is one walk less', async () => {
    const { session, say } = await typed();
    await say('40 paces in 100 feet', 'and back again 42');
    expect(session.settings.walks).toHaveLength(2);
    await say('undo');
    expect(session.settings.walks).toHaveLength(1);
  });

  test('begins with its length alone, and the count is asked', async () => {
    const { session, say } = await typed();
    expect(await say("let's do my pace first. fifty metre tape on the track")).toBe(
      '50 metres: how many paces, or steps?',
    );
    expect(await say('sixty-four steps')).toMatch(/^78 centimetres for each step/);
    expect(await say('and back again sixty-six')).toMatch(/^50 metres once more: 77 centimetres/);
    expect(session.settings.walks).toHaveLength(2);
  });

  test('that was only announced asks for both', async () => {
    const { session, say } = await typed();
    expect(await say('I need to get my pace sorted before we start')).toMatch(/^Walk a known length/);
    expect(await say('the tape is 50 metres')).toBe('50 metres: how many paces, or steps?');
    expect(await say('it took me 64 paces')).toMatch(/^78 centimetres/);
    expect(session.settings.walks).toEqual([{ count: 64, of: 'steps', feet: expect.closeTo(164.042, 2) }]);
  });

  test('there and back in one breath is two', async () => {
    const { session, say } = await typed();
    await say('calibrating my pace over 30 metres', '39 there and 41 back');
    expect(session.settings.walks.map(({ count }) => count)).toEqual([39, 41]);
  });
});

describe('what is no walk once more', () => {
  test('a count far from the first is a number of its own', async () => {
    const { session, say } = await typed();
    await say('40 paces in 100 feet');
    expect(await say('17')).toMatch(/^Seventeen of what\?/);
    expect(session.settings.walks).toHaveLength(1);
  });

  test('with a tree in hand it is asked which of the two is meant', async () => {
    const { session, say } = await typed();
    await say('eye height five feet', 'red oak 14', '20 paces in 100 feet');
    expect(await say('19 paces')).toBe('Is that 100 feet once more, or tree 1?');
    expect(await say('the second')).toMatch(/^100 feet, give or take/);
    expect(session.settings.walks).toHaveLength(1);
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(100, 6);
  });

  test('behind a height the way back has no length', async () => {
    const { session, say } = await typed();
    await say('20 paces in 100 feet', 'eye height five feet', 'red oak 14, 12 paces');
    expect(await say('coming back I got 19')).toMatch(/^Over what length\?/);
    expect(session.settings.walks).toHaveLength(1);
  });

  test('a walk uphill is a remark: it is no pace of the level', () => {
    expect(keptOf('uphill it was 43 for the same hundred')).toEqual([
      { kind: 'remark', text: 'uphill it was 43 for the same hundred' },
    ]);
  });

  test('a length that is walked is no length of a pace', () => {
    expect(keptOf("let's do my pace first. fifty metre tape on the track")).toEqual([
      { kind: 'setting', set: { what: 'walk', length: { value: 50, unit: 'm' } } },
    ]);
    expect(keptOf('pace seventy eight centimetres')).toEqual([
      { kind: 'setting', set: { what: 'pace', length: { value: 78, unit: 'cm' } } },
    ]);
  });
});

describe('a setting put right', () => {
  test('a second time, and one that came with how it is counted', async () => {
    const { session, say } = await typed();
    await say('metric', "my eye's at one metre sixty-eight");
    expect(await say('no hang on, one seventy one')).toBe('Eye height 1.71 metres.');
    expect(await say('no, one seventy two')).toBe('Eye height 1.72 metres.');
    await say('pace 78 cm');
    expect(await say('no, 80')).toMatch(/^80 centimetres for each step/);
    expect(session.settings.pace?.feet).toBeCloseTo(1.6 / 0.3048, 6);
  });

  test('the eye is feet and inches with a dash between them', () => {
    expect(keptOf("my eye's 5-4")).toEqual([
      { kind: 'setting', set: { what: 'eye', length: { value: 5 + 4 / 12, unit: 'ft' } } },
    ]);
  });
});
