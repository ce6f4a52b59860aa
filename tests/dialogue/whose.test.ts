/** Whose pace and eye: of who speaks, of somebody else of the crew, and of who spoke before. */
import { describe, expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const typed = () => converse({ understand: understandTyped });
const remark = (text: string) => [{ kind: 'remark', text }];

describe("somebody else's", () => {
  test('eye and pace are kept as theirs, and used when they measure', async () => {
    const { session, say } = await typed();
    await say("I'm Ansel", 'eye height five foot four', 'pace five feet');
    expect(await say("Dory's eye is 5-1 if she does the sighting")).toBe("Dory's eye height 5 feet 1.");
    expect(await say("Dory's pace is 2 and a half feet")).toBe("Dory's pace 2.5 feet for each step.");
    // 12 x 5 + 5.33, then 24 x 2.5 + 5.08, then the first again.
    await say('red oak 14, 12 paces', 'red oak 15');
    expect(await say("Dory's shooting this one: 24 paces, stick")).toMatch(/^Dory it is\. 65 feet/);
    expect(await say('back to me now')).toBe('Ansel it is.');
    await say('red oak 16, 12 paces');
    const feet = [...session.book.trees()].map(({ heightFt }) => heightFt);
    expect(feet).toEqual([
      expect.closeTo(60 + 5 + 4 / 12, 6),
      expect.closeTo(60 + 5 + 1 / 12, 6),
      expect.closeTo(60 + 5 + 4 / 12, 6),
    ]);
  });

  test('put right stays theirs, and is taken back as theirs', async () => {
    const { session, say } = await typed();
    await say("I'm Ansel", 'eye height five foot four', "Dory's eye height is five two");
    expect(await say('no, five foot three')).toBe("Dory's eye height 5 feet 3.");
    expect(session.settings.eye?.feet).toBeCloseTo(5 + 4 / 12, 6);
    expect(await say('undo')).toMatch(/eye height of Dory, 5 feet 3/);
  });

  test('answers no question of who speaks', async () => {
    const { session, say } = await typed();
    await say("I'm Ansel", 'pace five feet', 'red oak 14, 12 paces');
    await say("Dory's eye height is five two");
    expect(session.question?.about).toBe('eye');
    await say('five foot four');
    expect(session.settings.eye?.feet).toBeCloseTo(5 + 4 / 12, 6);
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(60 + 5 + 4 / 12, 6);
  });

  test('by "her" and "his" is theirs too', async () => {
    expect(keptOf("Dory's on the stick now, her eye's five foot one")).toEqual([
      { kind: 'remark', text: "dory's on the stick now" },
      { kind: 'setting', set: { what: 'eye', length: { value: 5 + 1 / 12, unit: 'ft' }, whose: 'dory' } },
    ]);
    expect(keptOf("her eye's five foot one")).toBeUndefined();
  });

  test('of who speaks is the own', async () => {
    const { session, say } = await typed();
    await say("I'm Ansel");
    expect(await say("Ansel's eye height is five two")).toBe('Eye height 5 feet 2.');
    expect(session.settings.eye?.feet).toBeCloseTo(5 + 2 / 12, 6);
  });
});

describe('back to me', () => {
  test('asks for a name where only another one was told', async () => {
    const { session, say } = await typed();
    await say("Dory's shooting the heights now");
    expect(await say('back to me now')).toBe('Say your name, such as I am, and the name.');
    expect(session.settings.person).toBe('dory');
  });
});

describe('who helps, comes and goes is a remark', () => {
  test.each([
    ['me, Dell Marrin, and Josie Teague helping', 'me, dell marrin, josie teague helping'],
    ["Me and Tomas today, he's on the tape, I book", 'me and tomas today, he is on the tape, i book'],
    [
      "Tomas has gone down to the lorry, Greta's with me now",
      "tomas has gone down to the lorry, greta's with me now",
    ],
    ["it's just me and Wick today", 'it is just me and wick today'],
    ["Ann left, I'm on my own now", 'ann left, i am on my own now'],
    ['Ben joined us at ten', 'ben joined us at ten'],
    ['Orla takes over the notes, I measure', 'orla takes over the notes, i measure'],
  ])('%s', (said, text) => {
    expect(keptOf(said)).toEqual(remark(text));
  });

  test.each([
    ["it's Ann shooting the heights now", 'ann'],
    ["my name's Petra", 'petra'],
  ])('who measures is none: %s', (said, name) => {
    expect(keptOf(said)).toEqual([{ kind: 'setting', set: { what: 'person', name } }]);
  });
});
