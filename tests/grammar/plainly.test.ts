/** Typed words that are said otherwise, shortened or wrapped in words that say nothing: read as what they plainly say. */
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { automaton, reader } from '../support/language.ts';

const understand = createUnderstanding(automaton, grammar);

/** Our own sentences, each with the plain one that means the same. */
const sayings: readonly (readonly [
  title: string,
  rows: readonly (readonly [said: string, plain: string])[],
])[] = [
  [
    'short forms',
    [
      ['avg BA?', 'basal area'],
      ['right', 'yes'],
      ['vol/ac Scribner', 'volume per acre by scribner'],
      ['pt 7', 'plot 7'],
      ['close p2. TPA?', 'close plot 2, trees per acre'],
      ['rm 11.3 1 log', 'red maple 11.3, one log'],
      ['h: 22 p', 'height 22 paces'.replace('height ', '')],
      ['plot 4 r=5.64 m', 'plot 4 radius 5.64 metres'],
      ['bl cherry 13" 1.5 logs', 'black cherry 13 inches, 1.5 logs'],
    ],
  ],
  [
    'lead-ins, articles, and adjectives that change nothing',
    [
      ['let me go back to plot one', 'back to plot one'],
      ['okay, can you put it back', 'put it back'],
      ['got a nice old sugar maple here, 19.5', 'sugar maple 19.5'],
      ['go ahead and close this plot please', 'close this plot'],
      ["it's about twenty percent defect", 'twenty percent defect'],
    ],
  ],
  [
    "what a name of one's own stands for",
    [
      ['whenever we say tag oak I mean a white oak', 'call white oak tag oak'],
      ['around here folks call the sugar maple sweetie', 'call sugar maple sweetie'],
      ['zibberwood is short for american beech', 'call american beech zibberwood'],
      ['from now on zibber is black cherry', 'call black cherry zibber'],
    ],
  ],
  [
    'a tree in other words',
    [
      ['three little beeches four inches each', 'three beeches four inches'],
      ['tape says sixty inches around', 'girth sixty inches'],
      ['beech fourteen, knock off ten percent', 'beech fourteen, ten percent defect'],
      ['hemlock x3, 8" each', 'three hemlock 8 inches'],
      ['red maple 9.1, pulp', 'red maple 9.1, no logs'],
    ],
  ],
  [
    'plots and people',
    [
      ["that's it for plot two", 'close plot two'],
      ['done here, on to the next one', 'close plot, next plot'],
      ["I'm using a twenty factor prism today", 'factor twenty'],
      ['this is Wren talking', 'crew wren'],
      ['Tamsin here, beech nine', 'crew tamsin, beech nine'],
      ['open three but use a fifteen factor', 'plot three factor fifteen'],
    ],
  ],
  [
    'questions and corrections',
    [
      ["how's the basal area looking", 'basal area'],
      ['which species has the most wood', 'volume by species'],
      ['read me back the last three trees', 'list the last three trees'],
      ['the red oak was fifteen, not fifty', 'the red oak was fifteen'],
      ['take out the beech, it is past the line', 'delete the beech'],
      ['the second beech is dead', 'for the second beech, it is dead'],
    ],
  ],
  [
    'remarks',
    [
      ['put down that the bank is washed out', 'remark the bank is washed out'],
      ['put a note on the beech, bear claws to eight feet', 'for the beech, remark bear claws to eight feet'],
    ],
  ],
];

describe.each(sayings)('%s', (_, rows) => {
  test.each(rows)('%s', (said, plain) => {
    const read = understand(said);
    const meant = reader.read(plain);
    if (!meant.ok) throw new Error(`${plain}: ${meant.error.message}`);
    expect(read.ok && read.value[0]!.posterior >= takeFrom && read.value[0]!.notes).toEqual(
      meant.value[0]!.notes,
    );
  });
});

test.each([
  'this is silly',
  'nobody here',
  "it's chilly again",
  'so long',
  'we parked by the old oak',
  'thirteen of them I think',
])('talk is no note, however much of it is left out: %s', (words) => {
  const read = understand(words);
  expect(read.ok && read.value.some(({ posterior }) => posterior >= takeFrom)).toBe(false);
});

describe('a breath of which one part is not understood', () => {
  test.each([
    ['black gum fourteen, one log, frindled at the blorp', ['tree'], 'frindled at the blorp'],
    ['beech twelve, zibber wump, two logs, twelve paces', ['tree', 'tree', 'height'], 'zibber wump'],
  ])('is asked about with all the rest: %s', (words, kinds, unread) => {
    const read = understand(words);
    if (!read.ok) throw new Error(read.error);
    const [first] = read.value;
    expect(first!.unread).toContain(unread.split(' ')[0]);
    expect(first!.posterior).toBeLessThan(takeFrom);
    expect(first!.notes.map(({ kind }) => kind)).toEqual(kinds.slice(0, first!.notes.length));
  });
});
