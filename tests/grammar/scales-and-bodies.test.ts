/** Measures said another way: the scale behind the angles, the device behind the height, a person as the pole, trees of one size. */
import { describe, expect, test } from 'vitest';
import type { Measurement, Note } from '../../shared/note/note.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const heightOf = (said: string): Measurement | undefined => {
  const note = keptOf(said)?.find((one) => one.kind === 'height' || (one.kind === 'tree' && one.height));
  return note?.kind === 'height' || note?.kind === 'tree' ? note.height : undefined;
};

describe('the scale of angles', () => {
  test.each([
    ['black cherry, from 100 ft the scale says 74 up top and -5 at the foot, percent', 'pct', 74, -5, 100],
    ['beech, sixty six feet, 95 and minus 4 on the percent scale', 'pct', 95, -4, 66],
    ['66 feet back, 88 and minus 6 on the percent scale', 'pct', 88, -6, 66],
    ['ash, 80 ft, percent scale, 70 up and 5 down', 'pct', 70, -5, 80],
    ['hemlock, 60 ft, 45 and minus 3 on the degree scale', 'deg', 45, -3, 60],
  ] as const)('is told anywhere: %s', (said, scale, top, base, feet) => {
    expect(heightOf(said)).toEqual({
      method: 'angles',
      scale,
      top,
      base: { by: 'angle', angle: { value: base } },
      distance: { by: 'length', length: { value: feet, unit: 'ft' } },
    });
    expect(keptOf(said)?.[0]?.kind).toBe(/^\d/.test(said) ? 'height' : 'tree');
  });

  test('two numbers without signs and a diameter are not taken apart', () => {
    expect(keptOf('beech 14, sixty six feet, 95, 4 on the percent scale')).toBeUndefined();
  });
});

describe('a device behind its height', () => {
  test.each([
    ['black cherry 81 with the laser', 'laser', 81],
    ['basswood 77 by laser', 'laser', 77],
    ['white ash seventy two on the rangefinder', 'laser', 72],
    ['hemlock, 16 in, 70 from the hypsometer', 'other', 70],
  ] as const)('%s', (said, device, value) => {
    expect(heightOf(said)).toEqual({ method: 'reading', device, takes: [{ value }] });
  });

  test('a length with it may be how far it is: that is asked', () => {
    expect(keptOf('64 feet with the laser')).toBeUndefined();
  });
});

describe('a person as the pole', () => {
  test.each([
    "I'm 5'8 and my shadow is 3'10, the tree's is 60 feet",
    "shadow of the tree 60 ft, I'm 5'8 and my shadow is 3'10",
    "tree shadow 60 ft, me 5'8, my shadow 3'10",
    "I'm 5'8 and my shadow is 3'10 and the tree's shadow is 60'",
  ])('%s', (said) => {
    expect(heightOf(said)).toEqual({
      method: 'shadow',
      pole: { value: 5 + 8 / 12, unit: 'ft' },
      poleShadow: { value: 3 + 10 / 12, unit: 'ft' },
      shadow: { value: 60, unit: 'ft' },
    });
  });

  test('without the shadow of the tree it is no height, and feet and inches are not torn for one', () => {
    expect(understandTyped("I'm 5'8 and my shadow is 3'10").ok).toBe(false);
  });
});

describe('trees of one size', () => {
  test.each<[string, Note]>([
    ['3 more of the same size', { kind: 'again', count: 3 }],
    ['two more the same size', { kind: 'again', count: 2 }],
    ['another of the same size', { kind: 'again' }],
    ['same size, two more', { kind: 'again', count: 2 }],
    ['another two the same size', { kind: 'again', count: 2 }],
    ['4 more beech of the same size', { kind: 'again', count: 4, facts: { species: 'beech' } }],
  ])('%s', (said, note) => {
    expect(keptOf(said)).toEqual([note]);
  });

  test.each(["that's the same size again, 14", 'the other one is the same size'])(
    'what tells of a tree that stands begins none: %s',
    (said) => {
      expect(keptOf(said)?.some(({ kind }) => kind === 'again') ?? false).toBe(false);
    },
  );

  test('"two of each" behind trees is how many there are of each', () => {
    const counts = (said: string) =>
      keptOf(said)?.map((note) => (note.kind === 'tree' ? note.facts.count : undefined));
    expect(counts('red oak 14, hickory 12, 2 of each')).toEqual([2, 2]);
    expect(counts('red oak 14 and beech 12, three of each')).toEqual([3, 3]);
    expect(keptOf('a red oak and a beech, both twelve, two of each')).toBeUndefined();
  });
});
