/**
 * One number of the last height said right by its name. Expected heights are worked out by hand: tangents of both angles
 * times the distance, stick over arm times the distance, similar triangles of shadows and of scale readings (plane
 * geometry, common practice, no source).
 */
import { beforeEach, describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Note } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
const height = (): number | null => [...one.session.book.trees()][0]?.heightFt ?? null;
const tan = (degrees: number): number => Math.tan((degrees * Math.PI) / 180);

beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say('eye height five feet', 'beech fourteen inches');
});

const byAngles = '66 feet, top 42 degrees, base minus 3 degrees';
const byArm = 'stick 24, arm 25, spans, 70 feet';
const byShadow = 'shadow 84, pole 6, pole shadow 7 1/2';
const byPole = 'pole six feet reads two, tree reads nineteen';

describe('a part of the last height', () => {
  test.each([
    [byAngles, 'top 41 degrees', 66 * (tan(41) + tan(3))],
    [byAngles, 'no, top 41', 66 * (tan(41) + tan(3))],
    [byAngles, 'base 0', 66 * tan(42)],
    [byAngles, 'base minus 5', 66 * (tan(42) + tan(5))],
    [byAngles, 'base was minus 2 degrees', 66 * (tan(42) + tan(2))],
    ['66 feet, top 84 percent, base minus 3 percent', 'base minus 6', 66 * 0.9],
    [byArm, 'arm 27', (24 / 27) * 70],
    [byArm, 'the arm was 27 inches', (24 / 27) * 70],
    [byArm, 'the stick was 25', 70],
    [byShadow, "the pole's shadow was 7", (84 / 7) * 6],
    [byShadow, "the tree's was 83", (83 / 7.5) * 6],
    [byShadow, "the tree's shadow was 83 feet", (83 / 7.5) * 6],
    [byShadow, 'the pole was 6.5 feet', (84 / 7.5) * 6.5],
    [byPole, 'the pole read 2.1', (19 / 2.1) * 6],
    [byPole, "the tree's was 18", 54],
  ])('%s; %s', async (first, words, feet) => {
    await one.say(first);
    const before = height();
    await one.say(words);
    expect(height()).toBeCloseTo(feet, 6);
    expect([...one.session.book.trees()][0]?.heights).toHaveLength(1);
    // It is one thing that can be taken back.
    await one.say('undo');
    expect(height() === null || Math.abs(height()! - before!) < 1e-9).toBe(true);
  });

  test.each([
    'percent, not degrees',
    'it was percent, not degrees',
    'sorry, those are percents not degrees',
    'that was in percent',
    'percent',
  ])('%s', async (words) => {
    await one.say('66 feet, top 84 degrees, base minus 3 degrees', 'keep it', words);
    expect(height()).toBeCloseTo(66 * 0.87, 6);
  });

  it('answers in which scale the angles were read', async () => {
    await one.say('66 feet, top 84, base minus 3');
    expect(height()).toBeNull();
    await one.say('percent, not degrees');
    expect(height()).toBeCloseTo(66 * 0.87, 6);
  });

  it('a distance and then its angles, one by one, are one height', async () => {
    await one.say('66 feet', 'top 42 degrees', 'base minus 3');
    expect(height()).toBeCloseTo(66 * (tan(42) + tan(3)), 6);
  });
});

describe('where it cannot be', () => {
  it.each(['top 41 degrees', 'base 0', 'percent, not degrees', 'top 41 degrees, base 0'])(
    'is of no tree before the one in hand: %s',
    async (words) => {
      await one.say(byAngles, 'hemlock twelve');
      expect(await one.say(words)).toContain('How far from the tree');
      expect(height()).toBeCloseTo(66 * (tan(42) + tan(3)), 6);
    },
  );

  it.each([
    ['top 41 degrees', 'How far from the tree'],
    ['base 0', 'How far from the tree'],
    ['top 84 percent, base 0', 'How far from the tree'],
    ['arm 27', 'No height is in hand'],
  ])('%s', async (words, reply) => {
    expect(await one.say(words)).toContain(reply);
  });

  it('says what the last height has not', async () => {
    expect(await one.say(byAngles, 'arm 27')).toContain('no arm');
    expect(await one.say("the pole's shadow was 7")).toContain('no shadow of a pole');
    expect(height()).toBeCloseTo(66 * (tan(42) + tan(3)), 6);
  });

  it('asks on which side of the horizon the base is, and takes it for no basswood', async () => {
    await one.say(byAngles, 'base 5');
    expect([...one.session.book.trees()]).toHaveLength(1);
    expect(height()).toBeCloseTo(66 * (tan(42) + tan(3)), 6);
  });
});

it('each has words of its own where it is offered', () => {
  const tongue = createTongue(grammar);
  const notes: readonly [Note, string][] = [
    [{ kind: 'change', scale: 'pct' }, 'that was in percent'],
    [{ kind: 'change', base: { by: 'angle', angle: { value: 5 } } }, 'the base was five'],
    [{ kind: 'change', measured: { of: 'arm', value: 27, unit: 'in' } }, 'the arm was twenty seven inches'],
    [{ kind: 'change', measured: { of: 'ofTree', value: 83 } }, "the tree's was eighty three"],
  ];
  for (const [note, words] of notes) expect(tongue.speak(note)).toBe(words);
});
