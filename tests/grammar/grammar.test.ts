/** The laws of the language: what is said is read, what is read is said, and nothing said crashes the reader. */
import { describe, expect, test } from 'vitest';
import { checkDescription } from '../../grammar/description/checks.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { type Description, DescriptionError } from '../../grammar/description/model.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { examplesOf } from '../../grammar/writing/help.ts';
import { createSampler, type Sample } from '../../grammar/writing/sample.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { automaton, reader, speaker, trees } from '../support/language.ts';

const sampler = createSampler(trees);

const meanings = (words: string): string[] => {
  const read = reader.read(words);
  return read.ok ? read.value.map((reading) => noteKey(reading.notes[0])) : [];
};

describe('the description', () => {
  test('has no mistakes', () => {
    expect(checkDescription(trees).map((error) => error.message)).toEqual([]);
  });

  test('has examples that mean one thing each, the note beside them', () => {
    const wrong = grammar.rules.flatMap((rule) =>
      (rule.examples ?? [])
        .filter(({ words, note }) => meanings(words).join() !== noteKey(note))
        .map(({ words }) => words),
    );
    expect(wrong).toEqual([]);
    expect(examplesOf(trees).length).toBeGreaterThan(200);
  });

  test('has examples whose notes can be said again', () => {
    const wrong = grammar.rules.flatMap((rule) =>
      (rule.examples ?? [])
        .filter(({ note }) => !meanings(speaker.speak(note) ?? '').includes(noteKey(note)))
        .map(({ words }) => words),
    );
    expect(wrong).toEqual([]);
  });

  test('gives valid notes by every rule', () => {
    const random = seeded(7);
    for (const rule of trees.roots) {
      const { note } = sampler.sampleRule(rule.id, random);
      expect(noteSchema.safeParse(note).success, rule.id).toBe(true);
    }
  });
});

/** Without commas numbers side by side may run together: the reader then gives both readings and the book asks. */
const pauselessShare = 0.004;

describe('sampled sentences', () => {
  const random = seeded(20);
  const samples = Array.from({ length: 10_000 }, () => sampler.sample(random));
  /** Those whose words do not mean their note and nothing else. */
  const lost = (wordsOf: (sample: Sample) => string) =>
    samples.filter((sample) => {
      const found = meanings(wordsOf(sample));
      return found.length !== 1 || found[0] !== noteKey(sample.note);
    });

  test('mean the note that they were made from, and nothing else', () => {
    expect(lost(({ written }) => written).map(({ written }) => written)).toEqual([]);
  });

  test('mean it without commas too, but for a few', () => {
    const some = lost(({ words }) => words);
    expect(some.length / samples.length, some.map(({ words }) => words).join('\n')).toBeLessThan(
      pauselessShare,
    );
  });

  test('give notes that are said and read again as they were', () => {
    expect(lost(({ note }) => speaker.speak(note) ?? '').map(({ written }) => written)).toEqual([]);
  });
});

describe('feet and inches', () => {
  test('with halves, quarters, thirds and eighths of an inch are said again as the same height', () => {
    const inches = 'one two three four five six seven eight nine ten eleven'.split(' ');
    const parts = [
      '',
      'and a half',
      'and three quarters',
      'and one third',
      'and two thirds',
      'and five eighths',
    ];
    for (const feet of ['three', 'five', 'seven'])
      for (const inch of inches)
        for (const part of parts) {
          const words = `eye ${feet} feet ${inch} ${part}`.trim();
          const read = reader.read(words);
          if (!read.ok) throw new Error(words);
          const {
            notes: [note],
          } = read.value[0]!;
          expect(meanings(speaker.speak(note) ?? ''), words).toEqual([noteKey(note)]);
        }
  });
});

describe('whatever is typed', () => {
  const random = seeded(3);
  const pick = (n: number): number => Math.floor(random() * n);

  test('100 000 random strings of words, symbols and bytes are read or refused, never a crash', () => {
    const { words } = automaton;
    const symbols = [
      '5',
      "'",
      '"',
      '%',
      ' 1/2',
      '-',
      ',',
      '.',
      '12.05',
      '°',
      'é',
      '½',
      '\u0000',
      '😀',
      '/0',
      '1e9',
    ];
    const piece = (): string => {
      const roll = random();
      if (roll < 0.6) return ` ${words[1 + pick(words.length - 1)]}`;
      if (roll < 0.9) return symbols[pick(symbols.length)]! + (random() < 0.5 ? ' ' : '');
      return String.fromCharCode(pick(65536));
    };
    for (let i = 0; i < 100_000; i++) {
      let text = '';
      for (let n = pick(9); n >= 0; n--) text += piece();
      const read = reader.read(text);
      if (read.ok) {
        for (const {
          notes: [note],
        } of read.value)
          expect(JSON.stringify(note)).not.toMatch(/null/);
      } else if (read.error.message === '') throw new Error(`no reason given for "${text}"`);
    }
  });

  test('a very long note is refused, not searched for ever', () => {
    const read = reader.read('two '.repeat(5000));
    expect(read).toMatchObject({ ok: false, error: { kind: 'tooLong' } });
    expect(reader.read('one '.repeat(100)).ok).toBeDefined();
    expect(reader.read(`takes ${'one hundred one '.repeat(30)}`).ok).toBeDefined();
  });
});

describe('a refusal', () => {
  const refusal = (words: string): string => {
    const read = reader.read(words);
    return read.ok ? 'read' : read.error.message;
  };
  test('says what was expected and what was found', () => {
    expect(refusal('eight paces eye blue')).toMatch(/a number.*after "eight paces eye", found "blue"/);
  });
  test('says that the note stops too early', () => {
    expect(refusal('eight paces eye')).toMatch(/not finished: expected .*a number.* after "eight paces eye"/);
  });
  test('of nothing says so', () => {
    expect(refusal(' , ')).toBe('Nothing was said.');
  });
  test.each([
    ['ground 90 percent', 'Expected a number from 0 to 60 for "shorter", found 90.'],
    ['stand mill lot, zero acres', 'Expected a number from 0.0001 up for "area", found 0.'],
    [
      'tree 20000000 was sixteen inches',
      'Expected a whole number up to 10000000 for "tree", found 20000000.',
    ],
    ['tree zero was sixteen inches', 'Expected a whole number above 0 for "tree", found 0.'],
  ])('of "%s" names the range of the number', (words, sentence) => {
    expect(refusal(words)).toBe(sentence);
  });
  test('names at most eight things', () => {
    const read = reader.read('tree');
    expect(read.ok ? [] : read.error.expected).toHaveLength(8);
  });
});

describe('a mistake in the description', () => {
  const rule = { id: 'r', family: 'f', patterns: ['next'], sets: ['kind=next'] };
  const description = (...rules: Description['rules']): Description => ({
    version: 'test',
    rules,
    fillers: [],
    freeWords: [],
  });
  const thrown = (pattern: string): string => {
    try {
      parseDescription(description({ ...rule, patterns: [pattern] }));
    } catch (error) {
      if (error instanceof DescriptionError) return error.message;
      throw error;
    }
    return 'nothing';
  };
  test.each([
    ['next (tree', '")" is missing at column 11'],
    ['next tree]', '"]" has no beginning'],
    ['(a | b & c)', '"|" and "&" are mixed'],
    ['(a | )', 'an alternative is empty'],
    ['next ()', 'the brackets are empty'],
    ['Next', '"N" cannot begin a word'],
    ['next7', '"7" cannot stand in a word'],
    ['<count', '"<" is not closed'],
    ['<word>', 'free words are written <word+>'],
    ['<co unt>', 'is not a rule, a part, <word+> or <text+>'],
    ['<nothing>', 'names "<nothing>", which is not defined'],
    ['<r> next', 'is part of itself (r > r)'],
    ['next {jump 5}', 'is no number action'],
    ['next {=5}', 'names no field'],
    ['next {x=#z}', 'is no tag'],
  ])('"%s" is refused: %s', (pattern, problem) => {
    expect(thrown(pattern)).toContain(problem);
    expect(thrown(pattern)).toContain('rule "r"');
  });

  const checked = (extra: Partial<Description['rules'][number]>, ...more: Description['rules']): string =>
    checkDescription(parseDescription(description({ ...rule, ...extra }, ...more)))
      .map((error) => error.message)
      .join('; ');
  const eye = { sets: ['kind=height', 'height.method=stick'] };
  test('none in a sound one', () => expect(checked({})).toBe(''));
  test('a rule that nothing names', () =>
    expect(checked({}, { id: 'lost', patterns: ['lost'] })).toContain('rule "lost": is never used'));
  test('a rule without words', () => expect(checked({ patterns: ['[next]'] })).toContain('without a word'));
  test('a rule without a kind', () => expect(checked({ sets: [] })).toContain('does not set "kind"'));
  test('a kind that no note has', () =>
    expect(checked({ sets: ['kind=nest'] })).toContain('which no note has'));
  test('a field that the note does not have', () =>
    expect(checked({ ...eye, patterns: ['<number> {height.eyes=#u}'] })).toContain(
      'sets "height.eyes", which',
    ));
  test('a value that the field cannot hold', () =>
    expect(checked({ sets: ['kind=height', 'height.method=stuck'] })).toContain('cannot hold'));
  test('a number for a field of words', () =>
    expect(checked({ sets: ['kind=stand'], patterns: ['<number> {name=#}'] })).toContain('cannot hold'));
  test('a list item for what is no list', () =>
    expect(checked({ ...eye, patterns: ['<number> {height.eye[]=#u}'] })).toContain('is no list'));
  test('a number that was not said', () =>
    expect(checked({ ...eye, patterns: ['eye {height.eye=#u}'] })).toContain('where none was said'));
  test('words that are not free', () =>
    expect(checked({ sets: ['kind=stand'], patterns: ['stand {name=@}'] })).toContain('where none are free'));
  test('a repetition of nothing', () =>
    expect(checked({ patterns: ['next <s+>'] }, { id: 's', patterns: ['[so]'] })).toContain(
      'repeats "<s+>"',
    ));
  test('two rules of one name', () =>
    expect(() => parseDescription(description(rule, rule))).toThrow('is defined twice'));
});
