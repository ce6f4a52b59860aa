/** A mess that happens to hold a note is offered and never kept; what people type, however loosely, still is. */
import { describe, expect, it, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { createJudge, createSieve } from '../fuzz/kept-wrongly.ts';
import { makerNames, makers } from '../fuzz/random-strings.ts';
import { againstSense } from '../fuzz/sense.ts';
import { automaton } from '../support/language.ts';
import { keptOf } from '../support/typed.ts';

const isKept = (text: string): boolean => keptOf(text) !== undefined;

describe('is never kept', () => {
  it.each([
    ['small words that lead to nothing', 'oak sixteen from'],
    ['an article before nothing', 'three an bigleafs'],
    ['"we" before a tree', 'we maple'],
    ['what is put right before the word for it', 'hundred no'],
    ['what is taken back before the word for it', 'it forget'],
    ['a "not" beside a plot', 'plot that was plot fifty not one four'],
    ['a number beside a defect', 'eight unsound thirty percent'],
    ['a mark beside an order', 'forked unmute'],
    ['a name beside a question', 'how far out can boxelder'],
    ['a name joined over what was left out', 'swamp big spruce no height'],
    ['a fraction that nobody measures', 'oak 4 87/49 in'],
    ['a diameter of no tree', '885 in'],
    ['tenths that are none', 'three ten inches'],
    ['a small word taken for a tree', 'no make him you'],
    ['a height like that of another tree', 'another larch, 45.5, same height'],
    ['that height alone', 'same height as the last one'],
    ['so many of them', 'bear damage on two of the alder'],
    ['talk with two words of a note in it', 'forget so in oh you then our time is just you'],
  ])('%s: "%s"', (_, text) => {
    expect(isKept(text)).toBe(false);
  });
});

describe('is kept', () => {
  it.each([
    "red oak, there's three logs in her and she's 19 inches across",
    "162 centimetres, that's where my eyes are",
    'stop 1 was BAF 10 not 15',
    'three more trees, beech 12, ash 9 and beech 15',
    'well we got a sugar maple here and she goes about fourteen inches',
  ])('"%s"', (text) => {
    expect(isKept(text)).toBe(true);
  });
});

test('the law of what is kept finds a number, a name, a mark and a "not" that are gone or made up', () => {
  const tree = (facts: object) => [{ kind: 'tree' as const, facts }] as const;
  expect(againstSense('two dead oaks', tree({ species: 'oak', status: 'dead' }))).toMatch(
    /^numbers left out/,
  );
  expect(againstSense('dead oak', tree({ species: 'oak', status: 'dead', count: 2 }))).toMatch(/nobody said/);
  expect(againstSense('hollow oak', tree({ species: 'ash', marks: ['hollow'] }))).toMatch(/^a name/);
  expect(againstSense('hollow oak', tree({ species: 'oak' }))).toMatch(/^no mark/);
  expect(againstSense('oak', tree({ species: 'oak', marks: ['hollow'] }))).toMatch(/^a mark/);
  expect(againstSense('not an oak', tree({ species: 'oak' }))).toBe('a "not" is gone');
  expect(againstSense('two dead oaks', tree({ species: 'oak', status: 'dead', count: 2 }))).toBeUndefined();
});

// The same strings every time; `npm run bench -- language` draws others.
test.each(makerNames)('nothing is kept of %s against what was said', (maker) => {
  const judge = createJudge(automaton);
  const mayBeKept = createSieve(automaton);
  const random = seeded(14);
  const pick = (n: number): number => Math.floor(random() * n);
  const make = makers(automaton)[maker];
  const wrong: unknown[] = [];
  for (let i = 0; i < 400; i++) {
    const text = make(pick);
    const verdict = mayBeKept(text) ? judge(text) : undefined;
    if (typeof verdict === 'object') wrong.push([text, verdict]);
  }
  expect(wrong).toEqual([]);
});
