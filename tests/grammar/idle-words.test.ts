/** What stands beside a clear note and changes nothing of it: kept in the speaker's words, or passed over, never asked about. */
import { describe, expect, test } from 'vitest';
import { keptOf } from '../support/typed.ts';

const remarksOf = (said: string): readonly string[] | undefined =>
  keptOf(said)?.flatMap((note) => (note.kind === 'remark' ? [note.text] : []));

describe('words behind a tree that is measured', () => {
  test.each([
    ['cherry 15.5, one log, lots of black knot', 'lots of black knot'],
    ['sycamore 30, branch broken over the path', 'branch broken over the path'],
    ['red oak 18, the boys love climbing it', 'the boys love climbing it'],
    ['white oak 18, 2 logs, got a gnarly seam running up the back', 'got a gnarly seam running up the back'],
    ['hemlock 16, stands like a candle', 'stands like a candle'],
    ['alder 31, root plate lifting', 'root plate lifting'],
    ["sourwood 8 crooked as a dog's hind leg", "crooked as a dog's hind leg"],
  ])('are a remark, as a whole: %s', (said, text) => {
    expect(remarksOf(said)).toEqual([text]);
    expect(keptOf(said)?.filter(({ kind }) => kind === 'tree')).toHaveLength(1);
  });

  test.each([
    'red oak 14, cut that',
    'hickory 20, or is that a pecan tree',
    'pine 15 dead branch over the road',
    'beech 12, the same as those two',
    'osage orange 12, hazard, ten feet off the line',
    'goat willow, also called sallow, 13 cm, the elk has eaten',
    'poplar 14, zibber wump',
    'poplar 14, not my favourite',
  ])('are asked about where they may mend it, point elsewhere, or be another measure: %s', (said) => {
    expect(keptOf(said)).toBeUndefined();
  });
});

describe('a clause of its own beside what is whole', () => {
  test('is a remark beside a setting, a plot and a height that says how it was taken', () => {
    expect(remarksOf('the sun is finally showing, twelve paces')).toEqual(['the sun is finally showing']);
    expect(remarksOf('plot 9, windy old spot')).toEqual(['windy old spot']);
  });

  test.each([
    'a stranger beside that, 28 paces',
    'a separate tree, 66 feet, top 40 degrees, base minus 2',
    'okay fresh tree, thirty two paces',
  ])('is asked about where it may be another tree: %s', (said) => {
    expect(keptOf(said)).toBeUndefined();
  });

  test('about the ground tells nothing of a pace', () => {
    expect(keptOf('back on the flat, pace two and a half again')).toEqual([
      { kind: 'setting', set: { what: 'pace', of: 'steps', length: { value: 2.5 } } },
    ]);
  });

  test('is asked about where it tells how a height was measured, or beside a bare length', () => {
    expect(keptOf('31 metres, says the apparatus')).toBeUndefined();
    expect(keptOf('fifty one feet, she moved')).toBeUndefined();
  });
});

test('figures and an L behind a tree are its logs', () => {
  expect(keptOf('WO 18 2L')).toEqual([
    { kind: 'tree', facts: { species: 802, diameter: { value: 18 }, logs: 2 } },
  ]);
  expect(keptOf('white spruce 12.5 1L')).toEqual([
    { kind: 'tree', facts: { species: 94, diameter: { value: 12.5 }, logs: 1 } },
  ]);
});
