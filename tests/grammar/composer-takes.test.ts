/** Which tree a height is of, several readings of one tree, and what is said right of a tree, as people type them. */
import { describe, expect, it, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const paces = (count: number): Note => ({
  kind: 'height',
  height: { method: 'stick', distance: { by: 'paces', count } },
});

describe('one more reading of the same tree', () => {
  test('"two sides of" tells of nothing yet', () => {
    expect(keptOf('two sides of')).toBeUndefined();
  });

  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['same tree from the other side, 74', [{ kind: 'hand' }, { kind: 'number', value: 74 }]],
    ['and a third go, 69 and a half', [{ kind: 'hand' }, { kind: 'number', value: 69.5 }]],
    ['checked it again, 31 paces', [{ kind: 'hand' }, paces(31)]],
    ['from the other side 29 paces', [{ kind: 'hand' }, paces(29)]],
    ['paced that birch to check it, 22 paces', [{ kind: 'hand', which: { species: 'birch' } }, paces(22)]],
    [
      'thirty one and thirty three paces, two sides of the same hickory',
      [{ kind: 'hand', which: { species: 'hickory' } }, paces(31), { kind: 'hand' }, paces(33)],
    ],
    [
      're-shot it, 66 feet out, top 50 degrees, base minus 3',
      [
        { kind: 'hand' },
        {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'deg',
            top: 50,
            distance: { by: 'length', length: { value: 66, unit: 'ft' } },
            base: { by: 'angle', angle: { value: -3 } },
          },
        },
      ],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('perhaps another tree', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['this one is 30 paces', [{ ...paces(30), of: 'this' } as Note]],
    [
      'taped this one instead, 71 feet',
      [
        {
          kind: 'height',
          of: 'this',
          height: {
            method: 'stick',
            distance: { by: 'length', length: { value: 71, unit: 'ft' }, taped: true },
          },
        },
      ],
    ],
    ['next one, 30 paces', [{ kind: 'next' }, paces(30)]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('a stick that covers the whole tree', () => {
  it('takes no eye where that is said', () => {
    expect(keptOf("stick fitted it exactly foot to tip so don't add my eyes, 24 paces")).toEqual([
      { kind: 'height', height: { method: 'spans', distance: { by: 'paces', count: 24 } } },
    ]);
  });
});

describe('one of several taken back, put back, or said right', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    [
      'scrap that middle one, there was a branch in the way',
      [{ kind: 'scratch', what: 'height', nth: 'middle' }],
    ],
    [
      'scratch the first reading, same tree, 27 paces',
      [{ kind: 'scratch', what: 'height', nth: 1 }, { kind: 'hand' }, paces(27)],
    ],
    ['throw out the second reading', [{ kind: 'scratch', what: 'height', nth: 2 }]],
    ['drop the 74, I was on the wrong side', [{ kind: 'scratch', of: { diameter: 74 } }]],
    ['forget the last one', [{ kind: 'scratch', back: 1 }]],
    ['scratch the last one I had already measured it', [{ kind: 'scratch', back: 1 }]],
    ['31 should be 21, fat fingers', [{ kind: 'change', was: 31, number: { value: 21 } }]],
    [
      "I said twenty one, it's actually thirty one, my glasses were steamed up",
      [{ kind: 'change', was: 21, number: { value: 31 } }],
    ],
    ['restore the last two', [{ kind: 'restore', count: 2 }]],
    ['bring both of them back', [{ kind: 'restore', count: 2 }]],
    ['no, put it back, I meant the ash', [{ kind: 'restore' }, { kind: 'scratch', of: { species: 'ash' } }]],
    [
      'swap the 29 for a fir',
      [
        { kind: 'hand', which: { diameter: 29 } },
        { kind: 'change', facts: { species: 'fir' } },
      ],
    ],
    [
      'that 33 might have been a 35, leave it though',
      [
        { kind: 'hand', which: { diameter: 33 } },
        { kind: 'remark', text: 'might have been a 35' },
      ],
    ],
    ['fir ought to say balsam fir', [{ kind: 'change', of: { species: 'fir' }, facts: { species: 12 } }]],
    ["Dunlin says it's a hornbeam", [{ kind: 'change', facts: { species: 'hornbeam' } }]],
    ["nah she's right, hornbeam it is", [{ kind: 'change', facts: { species: 'hornbeam' } }]],
    ['not hollow', [{ kind: 'change', facts: { unmarked: ['hollow'] } }]],
    ["it isn't dead after all", [{ kind: 'tree', facts: { status: 'live' } }]],
    [
      "the beech isn't hollow after all",
      [
        { kind: 'hand', which: { species: 'beech' } },
        { kind: 'change', facts: { unmarked: ['hollow'] } },
      ],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

it('a height of which nobody said how much is offered as a remark', () => {
  const read = understandTyped("eighty something feet, couldn't really see the top");
  expect(read.ok && read.value.map(({ notes, posterior }) => [notes[0].kind, posterior < 0.8])).toEqual([
    ['remark', true],
  ]);
});

it('angles without a distance are of the distance told before', () => {
  expect(keptOf('top 52 degrees, base minus 4')).toEqual([
    {
      kind: 'change',
      top: { value: 52, unit: 'deg' },
      base: { by: 'angle', angle: { value: -4, unit: 'deg' } },
    },
  ]);
});

test.each([
  'redo the paced ones with that',
  'work the paced heights out again with the new pace',
  'go back and fix all the heights I paced with the new pace',
])('%s: with the pace in force', (said) => {
  expect(keptOf(said)).toEqual([{ kind: 'change', paced: true }]);
});
