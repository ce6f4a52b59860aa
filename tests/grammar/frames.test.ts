/** What is said when nothing reads as it stands: a whole reading in another order as a question, or a refusal that helps. */
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { ClauseFrames } from '../../grammar/reading/frames.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { helpAbout } from '../../grammar/writing/help.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { automaton, reader, trees } from '../support/language.ts';

const frames = new ClauseFrames(trees);
const understand = createUnderstanding(automaton, grammar);
const refusal = (words: string): string => {
  const read = understand(words);
  return read.ok ? `read as ${JSON.stringify(read.value)}` : read.error;
};

describe('a proposal', () => {
  test.each([
    ['fourteen inches, two logs, that red oak there', 'red oak fourteen inches two logs'],
    [
      'well I read it as top forty two degrees, base minus four, at sixty six feet',
      'top 42 deg base -4 66 ft',
    ],
  ])('uses every number and telling word, in the order that reads: %s', (words, plain) => {
    const proposal = frames.propose(words, reader);
    const meant = reader.read(plain);
    expect(meant.ok && proposal?.notes).toEqual(meant.ok && meant.value[0]!.notes);
    expect(proposal!.posterior).toBeLessThan(takeFrom);
  });

  test.each([
    'red oak fourteen blorp',
    'scratch that please there',
    'not red oak fourteen and',
    'call the red oak something else',
  ])('never drops a telling word, and never takes back or names: %s', (words) => {
    expect(frames.propose(words, reader)).toBeUndefined();
  });
});

test.each(['not oak', 'plot minus three'])(
  'a word that turns the meaning is never taken for another: %s',
  (words) => {
    expect(understand(words).ok).toBe(false);
  },
);

describe('a refusal', () => {
  test('tells words that are not known from words out of place', () => {
    expect(refusal('is the blorpish frindle wumping a zibber?')).toMatch(
      /^I do not know "blorpish", "frindle" or "wumping"\./,
    );
    expect(refusal('how tall should the plot be by the shadow')).toMatch(
      /^I know these words, but not in this order\./,
    );
  });

  test('repeats what was understood, and says that nothing of it is kept', () => {
    expect(refusal('red oak fourteen zibber wump frobber glorp splanted')).toContain(
      'I understood "red oak fourteen"; nothing is kept yet.',
    );
  });

  test.each([
    ['the shadow of it was quite long', /shadow/],
    ['prism of some factor', /factor/],
    ['tell me the volume of everything standing in the woods', /volume/],
  ])('gives the nearest example by meaning: %s', (words, example) => {
    expect(refusal(words).replace(/^.*You can say: /, '')).toMatch(example);
  });

  test('keeps the sentence of a number that cannot be one', () => {
    expect(refusal('ground 90 percent')).toMatch(/from 0 to 60/);
  });

  test('never lists what might have come', () => {
    for (const words of [
      'zonk',
      'red oak fourteen zonk',
      'top sixty two',
      'plot',
      'eye height',
      'twelve and',
    ])
      expect(refusal(words)).not.toMatch(/[Ee]xpected/);
  });
});

describe('help on a topic', () => {
  test.each(['shadow', 'plots', 'angles', 'pole', 'mending', 'asking', 'laid', 'slope', 'names'])(
    '%s says what it does and a sentence that is read',
    (topic) => {
      const text = helpAbout(trees, topic);
      const examples = [...text.matchAll(/Say: ([^.]+)\./g)].map(([, example]) => example!);
      expect(examples.length).toBeGreaterThan(0);
      for (const example of examples) expect(reader.read(example).ok, example).toBe(true);
    },
  );

  test('says so where there is none', () => {
    expect(helpAbout(trees, 'zonk')).toBe('I have no help on zonk. Say help to hear what can be said.');
  });
});
