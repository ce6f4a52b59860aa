/** Trees that are counted and not measured, points, and questions on what is being taken; sentences of our own wood. */
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Note, NoteOf } from '../../shared/note/note.ts';
import { trees } from '../support/language.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const open = (rest: Omit<NoteOf<'plot'>, 'kind' | 'op'>): Note => ({ kind: 'plot', op: 'open', ...rest });
const tally = (count: number, border = false): Note => ({
  kind: 'tree',
  facts: { count, ...(border ? { marks: ['borderline'] } : {}) },
});
const some = (rest: Omit<NoteOf<'change'>, 'kind'>): Note => ({ kind: 'change', ...rest });
const ask = (about: NoteOf<'ask'>['about'], rest: Omit<NoteOf<'ask'>, 'kind' | 'about'> = {}): Note => ({
  kind: 'ask',
  about,
  ...rest,
});

describe('a count at a point', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['point six, eight in', [open({ number: 6 }), tally(8)]],
    ['pt 4, 11 trees', [open({ number: 4 }), tally(11)]],
    ['tally seven', [tally(7)]],
    ['at point three I counted twelve', [open({ number: 3 }), tally(12)]],
    ['point two, ten in, three of them borderline', [open({ number: 2 }), tally(7), tally(3, true)]],
    ['point two, 10 in and 3 borderline', [open({ number: 2 }), tally(10), tally(3, true)]],
    ['two borderline', [tally(2, true)]],
    [
      'beech 14 borderline, count half',
      [{ kind: 'tree', facts: { species: 'beech', diameter: { value: 14 }, border: 'half' } }],
    ],
    ['beech borderline, count as half', [{ kind: 'tree', facts: { species: 'beech', border: 'half' } }]],
    ['point 2 has seven, one is borderline', [open({ number: 2 }), tally(6), tally(1, true)]],
    ['first point: five trees in', [open({ number: 1 }), tally(5)]],
    ['next point, nine trees', [open({}), tally(9)]],
    [
      'back to fixed plots, tenth acre',
      [{ kind: 'plot', op: 'size', size: { by: 'area', value: 0.1, unit: 'acre' }, next: true }],
    ],
    ['use a 2 metre prism', [{ kind: 'plot', op: 'size', size: { by: 'factor', value: 2, unit: 'm2/ha' } }]],
    ['undo that last stop', [{ kind: 'scratch', what: 'plot' }]],
    ['point seven was four, no, nine', [{ kind: 'plot', op: 'count', number: 7, count: 9 }]],
    ['plot 3 should be 8 trees', [{ kind: 'plot', op: 'count', number: 3, count: 8 }]],
    ['Wren took point nine and got 5', [open({ number: 9, by: 'wren' }), tally(5)]],
    ['Wren did point nine', [open({ number: 9, by: 'wren' })]],
    [
      'another with the metric relascope, factor 1, six trees',
      [open({ size: { by: 'factor', value: 1, unit: 'm2/ha' } }), tally(6)],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test.each<readonly [said: string, notes: readonly Note[]]>([
    [
      'point four, three hemlock two birch one cherry',
      [
        open({ number: 4 }),
        { kind: 'tree', facts: { species: 'hemlock', count: 3 } },
        { kind: 'tree', facts: { species: 'birch', count: 2 } },
        { kind: 'tree', facts: { species: 'cherry' } },
      ],
    ],
    [
      'count: spruce 9, birch 2',
      [
        { kind: 'tree', facts: { species: 'spruce', count: 9 } },
        { kind: 'tree', facts: { species: 'birch', count: 2 } },
      ],
    ],
  ])('by species: %s', (said, notes) => {
    expect(JSON.parse(JSON.stringify(keptOf(said)))).toEqual(notes);
  });

  test.each(['eleven trees', 'nine in', 'a twenty seven right on the edge', 'pine 12, oak 10'])(
    'is none that is kept without a word for it: %s',
    (said) => {
      expect(JSON.stringify(keptOf(said) ?? [])).not.toContain('"count"');
    },
  );

  test.each(['count borderlines as half', 'border ones count half', 'take the borderline trees as half'])(
    'those on the border: %s',
    (said) => {
      expect(keptOf(said)).toEqual([{ kind: 'plot', op: 'borders', border: 'half' }]);
    },
  );
});

describe('some of several', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    [
      'one of those spruces is dead',
      [some({ of: { species: 'spruce' }, part: 1, facts: { status: 'dead' } })],
    ],
    [
      'two of the beeches on plot three are hollow',
      [some({ of: { species: 'beech' }, part: 2, on: 3, facts: { marks: ['hollow'] } })],
    ],
    ['three of them are dead', [some({ part: 3, facts: { status: 'dead' } })]],
    [
      'the beeches at point 2 were 14 and 17',
      [14, 17].map((value) =>
        some({ of: { species: 'beech' }, part: 1, on: 2, facts: { diameter: { value } } }),
      ),
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('what is asked of the plots that are taken', () => {
  test.each<readonly [said: string, note: Note]>([
    ["what's the mean so far", ask('soFar')],
    ['what does that come to', ask('soFar')],
    ["and what's that to the acre", ask('soFar')],
    ["what's it averaging over the four points", ask('soFar')],
    [
      'how big is the circle for a fifth acre',
      ask('circle', { size: { by: 'area', value: 0.2, unit: 'acre' } }),
    ],
    [
      "what's the radius of a 400 square metre plot?",
      ask('circle', { size: { by: 'area', value: 400, unit: 'm2' } }),
    ],
    ['how far off may a 20 inch oak be', ask('limit', { diameter: { value: 20, unit: 'in' } })],
    ["what's the biggest tree this week", ask('thickest', { scope: { day: 'week' } })],
    ['tallest anywhere in the whole book', ask('tallest', { scope: { everywhere: true } })],
    ['how many plots has Wren done', ask('plots', { scope: { person: 'wren' } })],
    ['give us the whole lot for today', ask('totals', { scope: { day: 'today' } })],
  ])('%s', (said, note) => {
    expect(keptOf(said)).toEqual([note]);
  });

  test('two kinds beside each other are two counts', () => {
    expect(keptOf('beeches against hemlocks, how many of each')).toEqual([
      ask('trees', { scope: { species: 'beech' } }),
      ask('trees', { scope: { species: 'hemlock' } }),
    ]);
  });

  test('what stands beside a question on a tree that is told is a tree', () => {
    const [tree, question] = keptOf('white oak 20.6 borderline, limiting distance?') ?? [];
    expect([tree?.kind, question]).toEqual(['tree', ask('limit')]);
  });

  test('a size that is asked for sets nothing', () => {
    for (const said of ['how wide is the circle for a tenth acre', 'radius for a half acre plot?'])
      expect(JSON.stringify(understandTyped(said))).not.toContain('"op":"size"');
  });
});

describe('where the day begins', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ["good morning, we're over at Tanner's lower field", [{ kind: 'stand', name: "tanner's lower field" }]],
    [
      'new day, up in Kestrel Spur with Wren',
      [
        { kind: 'stand', name: 'kestrel spur' },
        { kind: 'remark', text: 'with wren' },
      ],
    ],
    [
      "Kestrel Spur today, Wren's on the tape",
      [
        { kind: 'stand', name: 'kestrel spur' },
        { kind: 'remark', text: "wren's on the tape" },
      ],
    ],
    ["I'm out at Tanner's back lot", [{ kind: 'stand', name: "tanner's back lot" }]],
    [
      "we're at the Tanner tract today with Wren and Ann",
      [
        { kind: 'stand', name: 'tanner' },
        { kind: 'remark', text: 'with wren and ann' },
      ],
    ],
    ["stand Tanner's Lower Field", [{ kind: 'stand', name: "tanner's lower field" }]],
    ["we're at Alder Hollow", [{ kind: 'stand', name: 'alder hollow' }]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test('a name of a tree is no place', () => {
    expect(JSON.stringify(keptOf('at Red Oak') ?? [])).not.toContain('stand');
  });
});

describe('words of what is offered', () => {
  const tongue = createTongue(grammar, () => trees);
  const plain: readonly (readonly [words: string, note: Note])[] = [
    ['tally eleven', tally(11)],
    ['tally two, borderline', tally(2, true)],
    ['plot four was six trees', { kind: 'plot', op: 'count', number: 4, count: 6 }],
    ['count borderlines as half', { kind: 'plot', op: 'borders', border: 'half' }],
    ['count borderlines out', { kind: 'plot', op: 'borders', border: 'out' }],
    ['from here on factor ten', { kind: 'plot', op: 'size', size: { by: 'factor', value: 10 }, next: true }],
    [
      'how big is the circle for tenth acre',
      ask('circle', { size: { by: 'area', value: 0.1, unit: 'acre' } }),
    ],
    ['what is the average so far', ask('soFar')],
    ['what is the average so far today', ask('soFar', { scope: { day: 'today' } })],
    ['thickest tree this week', ask('thickest', { scope: { day: 'week' } })],
    ['tallest tree in the whole book', ask('tallest', { scope: { everywhere: true } })],
    [
      'two of the pines on plot three are dead',
      some({ of: { species: 'pine' }, part: 2, on: 3, facts: { status: 'dead' } }),
    ],
  ];
  test.each(plain)('%s', (words, note) => {
    expect(tongue.speak(note)).toBe(words);
  });

  test.each(plain)('and what they say is what is kept: %s', (words, note) => {
    expect(keptOf(words)).toEqual([note]);
  });

  test('who took a plot is said before it', () => {
    expect(tongue.speak(open({ number: 5, by: 'wren' }))).toBe('wren did plot five');
  });
});
