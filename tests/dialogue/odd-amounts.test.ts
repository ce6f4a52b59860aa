/** Amounts that are said in another form than usual: thousands, feet and a number, parts of a foot, a leg without its unit. */
import { describe, expect, it, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

describe('prices from a thousand up', () => {
  test.each([
    ['red oak one thousand two hundred a thousand', 1200],
    ['red oak at a thousand two hundred a thousand', 1200],
    ['red oak twelve hundred a thousand', 1200],
    ['red oak 1200 dollars a thousand', 1200],
    ['walnut two thousand five hundred and fifty a thousand', 2550],
    ['white oak one thousand one hundred fifty dollars a thousand', 1150],
    ['walnut three thousand a thousand', 3000],
    ['walnut one thousand a thousand', 1000],
  ])('%s', (words, dollars) => {
    const [note, ...more] = keptOf(words) ?? [];
    expect(more).toEqual([]);
    expect(note).toMatchObject({ kind: 'price', dollars, per: 'thousand' });
  });
});

describe('feet and inches of a girth', () => {
  test.each([
    'girth 11 foot 4',
    'red oak girth 11 foot 4',
    'red oak girth eleven foot four',
    'red oak, circumference 11 feet 4',
  ])('%s', async (words) => {
    const one = await converse({ understand: understandTyped });
    await one.say(words);
    expect([...one.session.book.trees()][0]?.diameterIn).toBeCloseTo(136 / Math.PI, 6);
  });

  it('of two stems with quarters they are one tree', async () => {
    for (const words of ['red oak 14 1/2, other stem 9 3/4', 'red oak 14 1/2, second stem 9 3/4']) {
      const one = await converse({ understand: understandTyped });
      await one.say(words);
      const trees = [...one.session.book.trees()];
      expect(trees).toHaveLength(1);
      expect(trees[0]?.diameterIn).toBeCloseTo(Math.hypot(14.5, 9.75), 6);
    }
  });
});

describe('how far a device scatters', () => {
  test.each([
    ['laser scatter half a foot', 0.5, 'ft'],
    ['my laser scatters by half a metre', 0.5, 'm'],
    ['laser scatter is a foot and a half', 1.5, 'ft'],
  ])('%s', (words, value, unit) => {
    const expected: Note = {
      kind: 'setting',
      set: { what: 'scatter', device: 'laser', length: { value, unit: unit as 'ft' | 'm' } },
    };
    expect(keptOf(words)).toEqual([expected]);
  });
});

describe('a leg without its unit', () => {
  test.each([
    ['north 45 east 200 feet', 'south 45 east 100', /^Leg 2, south 45 east, 100 feet\.$/],
    ['azimuth 45, 60 metres', 'azimuth 135, 30', /^Leg 2, bearing 135, 30 metres: 98 feet\.$/],
    ['azimuth 45, 20 paces', 'bearing 135, 30', /^Leg 2, bearing 135, 30 paces: 150 feet\.$/],
    ['azimuth 45, 20 paces', 'due east 30', /^Leg 2, due east, 30 paces: 150 feet\.$/],
  ])('%s; %s', async (first, second, reply) => {
    const one = await converse({ understand: understandTyped });
    await one.say('pace five feet', 'stand mill lot', 'start a traverse', first);
    expect(await one.say(second)).toMatch(reply);
  });
});
