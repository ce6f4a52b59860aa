/** Heights as people put them: with the tree before or behind, how one stands to the foot, what was wrong with the last one. */
import { describe, expect, test } from 'vitest';
import { keptOf, understandTyped } from '../support/typed.ts';

const feet = (value: number, side: 'below' | 'above', unit = 'ft') => ({
  base: { by: 'feet', length: { value, unit }, side },
});
const paces = (count: number) => ({ method: 'stick', distance: { by: 'paces', count } });
const height = (measured: object) => ({ kind: 'height', height: measured });

describe('how one stands to the foot: who is above it sees it below the feet', () => {
  test.each([
    ["29 paces but I'm about 4 feet uphill of the foot", { ...paces(29), ...feet(4, 'below') }],
    ["29 paces, I'm standing two metres above the foot", { ...paces(29), ...feet(2, 'below', 'm') }],
    ["30 paces, I'm 3 feet below the base", { ...paces(30), ...feet(3, 'above') }],
    ["28 paces, eye's a foot higher, I'm on a rock", { ...paces(28), ...feet(1, 'below') }],
    ['28 paces, eyes two feet lower, I was kneeling', { ...paces(28), ...feet(2, 'above') }],
    ["29 paces, stick, tree's uphill of me about 4 feet", { ...paces(29), ...feet(4, 'above') }],
    ['28 paces with the stick, ground drops 5 feet to it', { ...paces(28), ...feet(5, 'below') }],
    ["I'm downhill, 4 feet lower than the butt, 25 paces", { ...paces(25), ...feet(4, 'above') }],
    ['standing on a stump 2 feet up, 24 paces', { ...paces(24), ...feet(2, 'below') }],
  ])('%s', (said, measured) => {
    expect(keptOf(said)).toEqual([height(measured)]);
  });

  test('of a height that was told it is put right', () => {
    expect(keptOf('wait, I stood a metre and a half above the root')).toEqual([
      { kind: 'change', ...feet(1.5, 'below', 'm') },
    ]);
  });

  test('what goes so far up the stem is none of it', () => {
    expect(JSON.stringify(keptOf('beech 14, forks four feet above the base') ?? [])).not.toContain('"feet"');
  });
});

describe('a height with its tree before it or behind', () => {
  test.each([
    ['height of the thirty-five, twenty-nine paces, stick', { which: { diameter: 35 } }, paces(29)],
    ['thirty-five paces, stick on the thirty-three after all', { which: { diameter: 33 } }, paces(35)],
    ['ht of tree 3: 31 paces', { tree: 3 }, paces(31)],
    ["the beech's height, 24 paces", { which: { species: 'beech' } }, paces(24)],
    ['28 paces to the hemlock with the stick', { which: { species: 'hemlock' } }, paces(28)],
    [
      'height on the biggest poplar, shadow 52 foot, six foot pole throws four foot six',
      { which: { species: 'poplar', most: 'thickest' } },
      {
        method: 'shadow',
        shadow: { value: 52, unit: 'ft' },
        pole: { value: 6, unit: 'ft' },
        poleShadow: { value: 4.5, unit: 'ft' },
      },
    ],
    [
      "first one, top 105 bottom plus 6, from 66, I'm below it",
      { which: { nth: 1 } },
      {
        method: 'angles',
        top: 105,
        distance: { by: 'length', length: { value: 66 } },
        base: { by: 'angle', angle: { value: 6 } },
      },
    ],
  ])('%s', (said, hand, measured) => {
    expect(keptOf(said)).toEqual([{ kind: 'hand', ...hand }, height(measured)]);
  });

  test('a kind with its size and no article begins', () => {
    expect(keptOf('hemlock 18, height by stick, 30 paces')?.[0]).toMatchObject({
      kind: 'tree',
      facts: { diameter: { value: 18 } },
    });
  });

  test('"the big one" is asked about', () => {
    expect(keptOf('height of the big one, 12 foot pole, five and a half poles')).toBeUndefined();
    expect(understandTyped('height of the big one, 12 foot pole, five and a half poles')).toMatchObject({
      value: [{ notes: [{ kind: 'hand', which: { most: 'thickest' } }, { height: { treeReads: 5.5 } }] }],
    });
  });
});

describe('ways to a height, their parts as they come', () => {
  test.each([
    [
      'clino from 50, 78 and minus 10 percent',
      {
        method: 'angles',
        scale: 'pct',
        top: 78,
        distance: { by: 'length', length: { value: 50 } },
        base: { by: 'angle', angle: { value: -10 } },
      },
    ],
    [
      "pole's twelve foot, I count six and a half up",
      { method: 'pole', pole: { value: 12, unit: 'ft' }, poleReads: 1, treeReads: 6.5 },
    ],
    [
      'taped 75, stick at eye level',
      { method: 'stick', distance: { by: 'length', length: { value: 75 }, taped: true } },
    ],
    [
      'height twenty-five metres taped, forty-five degrees by the stick',
      { method: 'stick', distance: { by: 'length', length: { value: 25, unit: 'm' }, taped: true } },
    ],
    [
      'tree throws 40 foot 6, six foot pole throws 4 and a half',
      {
        method: 'shadow',
        shadow: { value: 40.5, unit: 'ft' },
        pole: { value: 6, unit: 'ft' },
        poleShadow: { value: 4.5 },
      },
    ],
    [
      'shadow eighteen metres, the two metre pole throws one fifty',
      {
        method: 'shadow',
        shadow: { value: 18, unit: 'm' },
        pole: { value: 2, unit: 'm' },
        poleShadow: { value: 1.5, unit: 'm' },
      },
    ],
  ])('%s', (said, measured) => {
    expect(keptOf(said)).toEqual([height(measured)]);
  });
});

describe('what was wrong with the last one', () => {
  test.each([
    ['hang on I was standing at ninety', { measured: { of: 'distance', value: 90 } }],
    ['redo that height, I was at 60 not 50', { was: 50, measured: { of: 'distance', value: 60 } }],
    ['I was 20 metres out, not 25', { was: 25, measured: { of: 'distance', value: 20, unit: 'm' } }],
    ['no, the distance was 80', { measured: { of: 'distance', value: 80 } }],
  ])('%s', (said, change) => {
    expect(keptOf(said)).toEqual([{ kind: 'change', ...change }]);
  });

  test.each([
    ['redo that: 31 paces', height(paces(31))],
    [
      'do it again then, seventy-four percent, foot minus six',
      {
        kind: 'change',
        top: { value: 74, unit: 'pct' },
        base: { by: 'angle', angle: { value: -6, unit: 'pct' } },
      },
    ],
  ])('the new one takes its place: %s', (said, note) => {
    expect(keptOf(said)).toEqual([{ kind: 'answer', answer: 'redo' }, note]);
  });
});

describe('a tree without a height', () => {
  test.each([
    "can't see the top, leaves. skip the height",
    'skip the height',
    'no height possible on this one',
    'too thick to see the top',
    'not worth a height',
    "can't get a clean look at the tip of this one",
  ])('is a remark, and takes nothing back: %s', (said) => {
    expect(keptOf(said)).toMatchObject([{ kind: 'remark' }]);
  });

  test('is kept with why', () => {
    expect(keptOf("striped maple 4.2, don't need a height")).toEqual([
      { kind: 'tree', facts: { species: 315, diameter: { value: 4.2 } } },
      { kind: 'remark', text: 'do not need a height' },
    ]);
  });
});
