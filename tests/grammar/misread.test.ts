/** What was read for sure, but wrongly: each with what is meant. Terms of the trade; areas by the metric system's own names. */
import { describe, expect, it, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

const tree = (facts: (Note & { kind: 'tree' })['facts']): Note => ({ kind: 'tree', facts });
const girth = (value: number): Note => tree({ diameter: { value, unit: 'cm', girth: true } });
const area = (value: number) => ({ by: 'area' as const, value, unit: 'm2' as const });

describe('a number that is written in figures is one number', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['girth 2.05 metres', [girth(205)]],
    ['girth 2.31 m', [girth(231)]],
    ['girth 1.62 metres', [girth(162)]],
    ['girth 2,31 m', [girth(231)]],
    ['next plot, 250 square metres', [{ kind: 'plot', op: 'open', size: area(250) }]],
    [
      'SM 12/1 SM 11/1',
      [
        tree({ species: 318, diameter: { value: 12 }, logs: 1 }),
        tree({ species: 318, diameter: { value: 11 }, logs: 1 }),
      ],
    ],
    ['red oak 14/2', [tree({ species: 833, diameter: { value: 14 }, logs: 2 })]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
  it('however it is torn, whatever its size', () => {
    for (let cm = 101; cm < 400; cm += 7)
      expect(keptOf(`girth ${(cm / 100).toFixed(2)} metres`)).toEqual([girth(cm)]);
  });
});

describe('areas in square metres, ares and decares', () => {
  test.each<readonly [said: string, size: ReturnType<typeof area>]>([
    ['plot 3, 100 m²', area(100)],
    ['plot 3, 400 m2', area(400)],
    ['plot 3, 2 ares', area(200)],
    ['plot 3, half a decare', area(500)],
  ])('%s', (said, size) => {
    expect(keptOf(said)).toEqual([{ kind: 'plot', op: 'open', number: 3, size }]);
  });
  test.each(['BAF 2 m2/ha', 'basal area factor 2 m²/ha'])('%s is a metric factor', (said) => {
    expect(keptOf(said)).toEqual([
      { kind: 'plot', op: 'size', size: { by: 'factor', value: 2, unit: 'm2/ha' } },
    ]);
  });
});

describe('the least of the trees', () => {
  test.each<readonly [said: string, reply: string]>([
    ['thinnest tree', '7 inches: tree 3, American beech, 7 inches.'],
    ["what's the smallest tree", '7 inches: tree 3, American beech, 7 inches.'],
    ['smallest oak', '12 inches: tree 1, northern red oak, 12 inches.'],
    ['which is the shortest tree', '40 feet: tree 2, American beech, 9 inches.'],
  ])('%s', async (said, reply) => {
    const talk = await converse({ understand: understandTyped });
    await talk.say('red oak 12, laser 60 feet', 'beech 9, laser 40 feet', 'beech 7');
    expect(await talk.say(said)).toBe(reply);
  });
  it('of none that is measured says so', async () => {
    const talk = await converse({ understand: understandTyped });
    expect(await talk.say('beech 9', 'shortest tree')).toBe('No height yet.');
  });
});

describe('what is meant, and not the nearest sentence', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['bark 2 cm', [{ kind: 'remark', text: 'bark 2 cm' }]],
    ['the scarlet one', [{ kind: 'pick', what: 'named', word: 'scarlet' }]],
    ["it's the bitternut one", [{ kind: 'pick', what: 'named', word: 'bitternut' }]],
    ['is a 14 inch tree in', [{ kind: 'ask', about: 'limit', diameter: { value: 14, unit: 'in' } }]],
    [
      'limiting distance for 14 inches',
      [{ kind: 'ask', about: 'limit', diameter: { value: 14, unit: 'in' } }],
    ],
    [
      'is a 14 inch tree in at 20 feet',
      [
        {
          kind: 'borderline',
          facts: { diameter: { value: 14, unit: 'in' } },
          distance: { value: 20, unit: 'ft' },
        },
      ],
    ],
    [
      'white pine 180 a thousand',
      [{ kind: 'price', facts: { species: 'white pine' }, dollars: 180, per: 'thousand' }],
    ],
    [
      'red oak is $900 a thousand',
      [{ kind: 'price', facts: { species: 833 }, dollars: 900, per: 'thousand' }],
    ],
    ['red oak 4 foot 2 around', [tree({ species: 833, diameter: { value: 50, unit: 'in', girth: true } })]],
    ['beech, 3 feet through', [tree({ species: 'beech', diameter: { value: 36, unit: 'in' } })]],
    ['not dead', [tree({ status: 'live' })]],
    ['say again slower', [{ kind: 'answer', answer: 'repeat' }]],
    ['no, 4 pines', [{ kind: 'change', facts: { count: 4, species: 'pine' } }]],
    [
      'no, base 1 metre below me',
      [{ kind: 'change', base: { by: 'feet', length: { value: 1, unit: 'm' }, side: 'below' } }],
    ],
    [
      'SCR THAT, BAF 10',
      [{ kind: 'scratch' }, { kind: 'plot', op: 'size', size: { by: 'factor', value: 10 } }],
    ],
    [
      'scratch trees 3 and 4',
      [
        { kind: 'scratch', tree: 3 },
        { kind: 'scratch', tree: 4 },
      ],
    ],
    ['scratch the defect', [{ kind: 'change', facts: { defect: 0 } }]],
    ['scratch the slope', [{ kind: 'plot', op: 'slope', slope: { value: 0 } }]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
  test.each([
    'the larger one',
    '2000 a thousand',
    'knock it to five',
    'tree shadow 20 paces, stick 4 feet, its shadow 3 feet',
    'scratch the paces',
  ])('%s is not kept unasked', (said) => {
    expect(keptOf(said)).toBeUndefined();
  });
  it('a word of its own is no slip of another', () => {
    const read = understandTyped('scratch the paces');
    expect(read.ok && read.value.map(({ notes: [note] }) => note)).toEqual([
      { kind: 'scratch', what: 'height' },
      { kind: 'scratch', what: 'pace' },
    ]);
  });
});

describe("a plot, a base and a walk in words of one's own", () => {
  const walk = (count: number, length: object, of = 'paces') => [
    { kind: 'setting', set: { what: 'walk', count, of, length } },
  ];
  const below = (value: number) => ({ by: 'feet', length: { value, unit: 'ft' }, side: 'below' });
  const gauge = (value: number, unit?: 'm2/ha') => ({
    by: 'factor',
    value,
    ...(unit === undefined ? {} : { unit }),
  });
  test.each<readonly [said: string, notes: readonly object[]]>([
    // A plot is not three tenths before a comma either.
    ['point three, BAF 10', [{ kind: 'plot', op: 'open', number: 3, size: gauge(10) }]],
    ['start point three, BAF 10', [{ kind: 'plot', op: 'open', number: 3, size: gauge(10) }]],
    ['relascope point here, factor two metric', [{ kind: 'plot', op: 'open', size: gauge(2, 'm2/ha') }]],
    ['walked peg to peg, a hundred feet, twenty paces', walk(20, { value: 100, unit: 'ft' })],
    ['two stakes a chain apart, thirteen paces', walk(13, { value: 1, unit: 'chain' })],
    [
      "nine paces, I'm standing four feet above the bottom of it",
      [
        {
          kind: 'height',
          height: { method: 'stick', distance: { by: 'paces', count: 9 }, base: below(4) },
        },
      ],
    ],
    ['turn your mic off', [{ kind: 'control', op: 'stop' }]],
    ['why do you not believe that height', [{ kind: 'ask', about: 'doubts' }]],
    ['how many in the circle', [{ kind: 'ask', about: 'trees', scope: { plot: 'this' } }]],
    ["count for the circle I'm in", [{ kind: 'ask', about: 'trees', scope: { plot: 'this' } }]],
    // A millimetre is a tenth of a centimetre, not a word without a meaning.
    ['beech, 412 mm', [{ kind: 'tree', facts: { species: 'beech', diameter: { value: 41.2, unit: 'cm' } } }]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('names keep their letters', () => {
  test.each(['kızlar', 'bjørn', 'şule', 'łukasz'])('this is %s', (name) => {
    const said = name[0]!.toLocaleUpperCase('en') + name.slice(1);
    expect(keptOf(`this is ${said}`)).toEqual([{ kind: 'setting', set: { what: 'person', name } }]);
  });
  it('of places too', () => {
    expect(keptOf('stand Ørsted')).toEqual([{ kind: 'stand', name: 'ørsted' }]);
  });
});
