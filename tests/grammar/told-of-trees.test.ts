/**
 * Trees told with all that they have in one breath, trees told by the one before, and what is told beside trees: typed,
 * invented notes with meanings worked out by hand.
 */
import { describe, expect, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { keptOf } from '../support/typed.ts';

const remarks = (notes: readonly Note[] | undefined): string[] =>
  (notes ?? []).flatMap((note) => (note.kind === 'remark' ? [note.text] : []));
const facts = (notes: readonly Note[] | undefined): object =>
  Object.assign({}, ...(notes ?? []).map((note) => (note.kind === 'tree' ? note.facts : {})));

describe('what a tree has is kept with it, its remarks in the words that were said', () => {
  test.each([
    [
      'basswood 16, forks at 30 feet, one and a half logs',
      { species: 951, logs: 1.5, marks: ['forked'] },
      ['forks at 30 feet'],
    ],
    [
      'sugar maple 17.2, tapped, old tap holes in the butt, two logs',
      { species: 318, logs: 2 },
      ['tapped', 'old tap holes in the butt'],
    ],
    ['white oak 24, three logs, veneer butt', { species: 802, logs: 3 }, ['veneer butt']],
    ["pignut 13, butt log's grade 3", { diameter: { value: 13 } }, ["butt log's grade 3"]],
    ['grade one butt, two and a half logs', { logs: 2.5 }, ['grade one butt']],
    [
      'white pine 22 weevilled twice, crook at 18 feet, 2 logs',
      { logs: 2, marks: ['crooked'] },
      ['weevilled twice', 'crook at 18 feet'],
    ],
    ['spruce 27, top out of it', { marks: ['broken top'] }, []],
  ])('%s', (said, has, told) => {
    const notes = keptOf(said);
    expect(facts(notes)).toMatchObject(has);
    expect(remarks(notes)).toEqual(told);
    // How high something is on it is no height of the tree.
    expect(JSON.stringify(notes)).not.toContain('distance');
  });

  test.each([
    ['white ash 12 and 4 tenths', 12.4],
    ['white ash 13 and a tenth', 13.1],
    ['red oak twenty and seven tenths', 20.7],
  ])('tenths of whatever is measured: %s', (said, value) => {
    expect(facts(keptOf(said))).toMatchObject({ diameter: { value } });
  });
});

describe('none of several has a log', () => {
  test.each([
    'blackgum 9, sassafras 7, neither one a log',
    'blackgum 9, sassafras 7, neither makes a log',
    'blackgum 9, sassafras 7, no logs in them',
    'blackgum 9, sassafras 7, not a log in either',
    'blackgum 9, sassafras 7, none of them has a log',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([
      { kind: 'tree', facts: { species: 693, diameter: { value: 9 }, logs: 0 } },
      { kind: 'tree', facts: { species: 931, diameter: { value: 7 }, logs: 0 } },
    ]);
  });
});

describe('one more of the kind before it', () => {
  test.each([
    'red maple 11.4 and one at 12',
    'red maple 11.4 and another at 12',
    'red maple 11.4 and one 12',
    'red maple 11.4, and one more at 12',
    'red maple 11.4 and a 12',
  ])('%s', (said) => {
    expect(keptOf(said)).toEqual([
      { kind: 'tree', facts: { species: 316, diameter: { value: 11.4 } } },
      { kind: 'tree', facts: { species: 316, diameter: { value: 12 } } },
    ]);
  });

  test.each([
    ["red maple 10, two stems, other one's 8", 'two stems'],
    ["red maple 10 twin stem, the other's 8", 'twin stem'],
  ])('beside a fork, which is told: %s', (said, text) => {
    expect(keptOf(said)).toEqual([
      { kind: 'tree', facts: { species: 316, diameter: { value: 10 } } },
      { kind: 'tree', facts: { species: 316, diameter: { value: 8 } } },
      { kind: 'remark', text },
    ]);
  });

  test('what is called its other stem is one tree of both', () => {
    expect(keptOf("red maple 10, two stems, other stem's 8")).toEqual([
      { kind: 'tree', facts: { species: 316, stems: [{ value: 10 }, { value: 8 }] } },
    ]);
  });

  test.each([
    'beech 5.5 count it twice, theres two the same',
    'beech 5.5, two alike',
    'beech 5.5, two like that',
    'beech 5.5, there are two the same',
    'beech 5.5 twice',
    'beech 5.5, two same size',
  ])('counted: %s', (said) => {
    expect(keptOf(said)).toEqual([
      { kind: 'tree', facts: { species: 'beech', diameter: { value: 5.5 }, count: 2 } },
    ]);
  });
});

describe('a remark by itself', () => {
  test.each([
    'seep here, keep the skidder out',
    'old stone wall runs right through here',
    'no regen at all',
    'boundary blazes on this one',
    'lots of beech brush underneath',
    "crown's thin, maybe borer",
    "butt's no good",
    'feels low, I would have said twenty four',
    'that seems a bit much',
    'first length veneer maybe, second grade C with a branch knot',
  ])('is kept as it was said: %s', (said) => {
    const notes = keptOf(said);
    expect(notes?.map(({ kind }) => kind)).toEqual(['remark']);
    expect(remarks(notes)[0]).toBe(said.toLowerCase());
  });

  test.each([
    ['cavity at twelve feet', 'hollow'],
    ['leans over the trail', 'leaning'],
  ])('with its mark: %s', (said, mark) => {
    expect(keptOf(said)).toEqual([
      { kind: 'tree', facts: { marks: [mark] } },
      { kind: 'remark', text: said },
    ]);
  });

  test.each([
    'zibber here, keep the wump out',
    'the trail is twelve',
    'no, the stream is oak',
    'rough night',
    'one more for the road',
    'is there a spring here?',
    'back to the landing plot five',
    "crown's at forty degrees",
  ])('is none where a word of it tells something, or nobody knows any: %s', (said) => {
    expect(remarks(keptOf(said))).toEqual([]);
  });
});

describe('what is done to the tree in hand, or is seen on another', () => {
  test.each([
    'put a star on that one, I want to show the owner',
    'tie a ribbon on that one',
    'cut that one next thinning',
    'leave this one, wildlife tree',
    "this one's a keeper",
  ])('is a remark: %s', (said) => {
    expect(keptOf(said)).toEqual([{ kind: 'remark', text: said.toLowerCase() }]);
  });

  test.each(['leave this one', 'fell that one', 'keep that one for the fire', 'cut that one'])(
    'is none where it may take back, or say much else: %s',
    (said) => {
      expect(remarks(keptOf(said))).toEqual([]);
    },
  );

  test.each(['badgers under the big beech', 'woodpecker hole in the fat beech, keep it as a habitat tree'])(
    'is told of that one: %s',
    (said) => {
      expect(keptOf(said)).toEqual([
        { kind: 'hand', which: { species: 'beech' } },
        { kind: 'remark', text: said },
      ]);
    },
  );
});
