/** Several notes in one breath: the fewest that the words can be, whatever joins them; one note alone as before. */
import { describe, expect, test } from 'vitest';
import { isSequence, mayFollow } from '../../grammar/automaton/note-sequence.ts';
import { longestText } from '../../grammar/reading/exact.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { seeded } from '../../shared/core/random.ts';
import { mostNotes, type Note } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { automaton, reader, speaker, trees } from '../support/language.ts';

const notesOf = (words: string): readonly Note[] => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(`"${words}": ${read.error.message}`);
  expect(read.value, words).toHaveLength(1);
  return read.value[0]!.notes;
};
/** Each said alone. */
const alone = (...lines: string[]): Note[] => lines.flatMap((words) => notesOf(words));

describe('a breath of several notes', () => {
  test.each([
    [
      'red oak sixteen two, twelve paces, two logs, next plot',
      ['red oak sixteen two, twelve paces', 'two logs', 'next plot'],
    ],
    ['Red oak 16.2, 12 paces. Two logs; next', ['red oak sixteen two, twelve paces', 'two logs', 'next']],
    ['twelve paces and then two logs', ['twelve paces', 'two logs']],
    ['twelve paces then two logs', ['twelve paces', 'two logs']],
    ['twelve paces and two logs', ['twelve paces', 'two logs']],
    ['next, and twelve paces', ['next', 'twelve paces']],
    ['nine, next tree', ['nine', 'next tree']],
    ['plot one, tenth acre, red oak sixteen', ['plot one, tenth acre', 'red oak sixteen']],
  ])('%s', (words, lines) => {
    expect(notesOf(words)).toEqual(alone(...lines));
  });

  test('is one note where it can be one, commas or not', () => {
    for (const words of [
      'eight paces, eye five and a half',
      'no, nine',
      'plot seven, tenth acre',
      'red oak, dead, two logs',
      'the base is four feet above me, ten paces',
    ])
      expect(notesOf(words), words).toHaveLength(1);
    expect(notesOf('remark forked top, two logs')).toEqual([{ kind: 'remark', text: 'forked top two logs' }]);
  });

  test.each([
    ['eight, eye five and a half', 'a count without its word is no diameter'],
    ['four and four', 'numbers'],
    ['how many red maples and sugar maples', 'one question'],
    ['two beech ten and twelve inches', 'two diameters'],
  ])('what is meant as one is not cut in two: %s', (words) => {
    expect(reader.read(words).ok).toBe(false);
  });

  test('tells in what follows the notes that were understood what is wrong', () => {
    const read = reader.read('twelve paces, two logs, blorp twenty');
    expect(read.ok ? null : read.error).toMatchObject({ at: 4, found: 'blorp' });
  });

  test(`has at most ${mostNotes} notes`, () => {
    expect(notesOf(Array(mostNotes).fill('twelve paces').join(', '))).toHaveLength(mostNotes);
    expect(
      reader.read(
        Array(mostNotes + 1)
          .fill('twelve paces')
          .join(', '),
      ).ok,
    ).toBe(false);
  });

  test('of any length ends with a sentence', () => {
    for (const words of [
      'two logs, '.repeat(longestText / 10 + 1),
      'twelve paces '.repeat(100),
      'a'.repeat(1e6),
    ]) {
      const read = reader.read(words);
      expect(read.ok ? '' : read.error.message).toMatch(/^That is too long for one breath: .*\.$/);
    }
  });
});

describe('the laws of a breath', () => {
  const sampler = createSampler(trees);
  const random = seeded(5);
  const sample = (): Note => {
    for (;;) {
      const { words } = sampler.sample(random);
      const read = reader.read(words);
      if (read.ok && read.value.length === 1 && read.value[0]!.notes.length === 1)
        return read.value[0]!.notes[0];
    }
  };

  test('what is said one after another with commas is read as that, or as fewer notes', () => {
    let same = 0;
    let breaths = 0;
    while (breaths < 1000) {
      const notes = Array.from({ length: 2 + Math.floor(3 * random()) }, sample);
      if (!isSequence(notes)) continue;
      breaths++;
      const words = notes.map((note) => speaker.speak(note)).join(', ');
      const read = reader.read(words);
      if (!read.ok) throw new Error(`"${words}": ${read.error.message}`);
      const found = read.value.map((reading) => notesKey(reading.notes));
      if (found.includes(notesKey(notes))) same++;
      else expect(read.value[0]!.notes.length, words).toBeLessThan(notes.length);
    }
    // "Red oak, twelve paces" is one note, and a remark takes what follows.
    expect(same).toBeGreaterThan(900);
  });

  test('one note is read as by an automaton without a way back', () => {
    for (let i = 0; i < 2000; i++) {
      const { words, note } = sampler.sample(random);
      const read = reader.read(words);
      expect(read.ok && read.value.every(({ notes }) => notes.length === 1), words).toBe(true);
      expect(read.ok && read.value.map((one) => notesKey(one.notes)), words).toContain(notesKey([note]));
    }
  });

  test('the way back is a hundredth of the automaton', () => {
    const own = automaton.arcFrom[automaton.states]! - automaton.arcFrom[automaton.again!]!;
    expect(own / automaton.arcTo.length).toBeLessThan(0.02);
  });

  test('a base or a lean said before a height is no correction of the height before', () => {
    const [base, paces] = alone('base four feet above me', 'twelve paces');
    expect(base!.kind).toBe('change');
    expect(mayFollow(base!, paces!)).toBe(false);
    expect(mayFollow(paces!, base!)).toBe(true);
  });

  test('a bare "and" joins different kinds, neither of them an answer', () => {
    const [paces, logs, yes] = alone('twelve paces', 'two logs', 'yes');
    expect(mayFollow(paces!, logs!, true)).toBe(true);
    expect(mayFollow(logs!, logs!, true)).toBe(false);
    expect(mayFollow(yes!, logs!, true)).toBe(false);
    expect(mayFollow(yes!, logs!)).toBe(true);
  });
});
