/** What stands beside a note that is whole without it: kept as a remark where it tells nothing else, asked about where it may. */
import { describe, expect, test } from 'vitest';
import { keptOf } from '../support/typed.ts';

describe('a clause of its own that tells nothing which a note has a place for', () => {
  test.each([
    ['got my heeled boots on now, call the eye five and a half', 'got my heeled boots on now', 'setting'],
    ['it looks like rain, my eyes are at five foot four', 'it looks like rain', 'setting'],
    ['beech 31, it feels like elephant skin', 'it feels like elephant skin', 'tree'],
  ])('is a remark beside it: %s', (said, text, kind) => {
    const notes = keptOf(said) ?? [];
    expect(notes.filter((note) => note.kind === 'remark')).toEqual([{ kind: 'remark', text }]);
    expect(notes.filter((note) => note.kind !== 'remark').map((note) => note.kind)).toEqual([kind]);
  });

  test.each([
    'I saw forteen of them, red oak 14',
    "there's a ded one there, red oak 14",
    'Nell has the zibber, red oak 14',
    'there is no zibber, red oak 14',
    'zibber wump, red oak 14',
    'hold it, bur oak',
    'we did the zibber hemlock, red oak 14',
    'it was 12 zibbers, red oak 14',
  ])('is no remark where it may be a slip, a name, a "not" or an amount: %s', (said) => {
    expect(keptOf(said)).toBeUndefined();
  });
});

describe('"around" before a number', () => {
  test('is about so much where nobody speaks of a tape', () => {
    expect(keptOf('two dead hemlocks, both around twelve')).toEqual([
      { kind: 'tree', facts: { count: 2, status: 'dead', diameter: { value: 12 }, species: 'hemlock' } },
    ]);
  });

  test('is a girth behind it', () => {
    expect(keptOf('basswood, 47 inches around')).toEqual([
      { kind: 'tree', facts: { species: 951, diameter: { value: 47, unit: 'in', girth: true } } },
    ]);
  });
});

describe('where the trees grow', () => {
  test.each([
    ['I am in Europe', 'europe'],
    ["we're over in Germany", 'europe'],
    ['use the european names', 'europe'],
    ["we're in the pacific northwest", 'west'],
    ["I'm working in New England", 'east'],
    ["we're in Canada", 'america'],
  ])('is told in words: %s', (said, region) => {
    expect(keptOf(said)).toEqual([{ kind: 'setting', set: { what: 'region', region } }]);
  });

  test('a place of another name is a stand', () => {
    expect(keptOf('we are at Mill Lot')).toEqual([{ kind: 'stand', name: 'mill lot' }]);
  });
});
