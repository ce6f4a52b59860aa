/**
 * The language description as a whole: nothing is said in two ways by accident, every field of every note can be
 * said, and the automaton stays small.
 */
import { brotliCompressSync, constants } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { compileTrees } from '../../grammar/automaton/compile.ts';
import { serialize } from '../../grammar/automaton/serialize.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { createSpeaker } from '../../grammar/writing/speak.ts';
import { seeded } from '../../shared/core/random.ts';
import type { Note } from '../../shared/note/note.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { questions, questionTopics } from '../../shared/note/question-topics.ts';
import { species } from '../../shared/note/species.ts';

const trees = parseDescription(grammar);
const automaton = compileTrees(trees);
const reader = createReader(automaton);
const speaker = createSpeaker(trees);
const sampler = createSampler(trees);

/** What a note says, without its numbers and their units. */
const shape = (note: Note): unknown =>
  JSON.parse(
    JSON.stringify(note, (key, value) =>
      key === 'unit' || typeof value === 'number' ? undefined : key === 'takes' ? 'takes' : value,
    ),
  );

describe('the description', () => {
  test('is not read in two ways by accident', () => {
    // Numbers side by side can split in two ways ("ninety one twenty"): those readings differ in numbers only.
    const random = seeded(20_26);
    const drawn = 6000;
    let open = 0;
    for (let i = 0; i < drawn; i++) {
      const { words, note } = sampler.sample(random);
      const read = reader.read(words);
      if (!read.ok) throw new Error(`"${words}": ${read.error.message}`);
      const notes = read.value.map((each) => each.notes[0]);
      if (notes.length === 1 && noteKey(notes[0]!) === noteKey(note)) continue;
      open++;
      for (const each of notes) expect(shape(each), words).toEqual(shape(note));
    }
    expect(open / drawn).toBeLessThan(0.003);
  });

  test('names every species by its common name', () => {
    for (const { code, commonName } of species) {
      const words = speaker.speak({ kind: 'tree', facts: { species: code } });
      expect(words).toBe(commonName.toLowerCase().replaceAll('-', ' '));
    }
  });

  test('can ask every question', () => {
    // A look-up names its tree; what is only typed is put together from its words.
    for (const about of questions) {
      if (questionTopics[about].asked === 'typed') continue;
      const tree = about === 'treeNumbered' ? { tree: 1 } : {};
      expect(speaker.speak({ kind: 'ask', about, ...tree }), about).toBeDefined();
    }
  });

  test('is frozen', () => {
    expect(Object.isFrozen(grammar)).toBe(true);
    expect(Object.isFrozen(grammar.rules)).toBe(true);
  });

  // The page loads it before its first answer, 300 kB for all of it.
  test('compiles to an automaton that packs into 126 kB', () => {
    const packed = brotliCompressSync(serialize(automaton), {
      params: { [constants.BROTLI_PARAM_QUALITY]: 7 },
    });
    expect(packed.length).toBeLessThan(126_000);
    expect(automaton.arcWord.length).toBeLessThan(280_000);
  });
});

describe('words of the user', () => {
  const own = withUserWords(
    grammar,
    [
      { word: 'hard rock', species: 318 },
      { word: 'fir', species: 12 },
      { word: 'fir', species: 202 },
      { word: 'chimney', mark: 'hollow' },
      { word: 'r2d2', species: 12 },
    ],
    ['Quimby Overlook'],
  );
  const ownReader = createReader(compileTrees(parseDescription(own)));
  const notesOf = (words: string): Note[] => {
    const read = ownReader.read(words);
    return read.ok ? read.value.map((each) => each.notes[0]) : [];
  };

  test('a taught name is a species wherever a species may be said', () => {
    expect(notesOf('hard rock fourteen inches')).toEqual([
      { kind: 'tree', facts: { species: 318, diameter: { value: 14, unit: 'in' } } },
    ]);
    expect(notesOf('how many hard rocks')).toEqual([
      { kind: 'ask', about: 'trees', scope: { species: 318 } },
    ]);
    expect(notesOf('that was hard rock')).toEqual([{ kind: 'change', facts: { species: 318 } }]);
  });

  test('an open name that was taught is open no longer, and the newest meaning holds', () => {
    expect(notesOf('fir')).toEqual([{ kind: 'tree', facts: { species: 202 } }]);
  });

  test('a taught mark is the mark that it stands for', () => {
    expect(notesOf('beech twenty inches chimney')).toEqual([
      { kind: 'tree', facts: { species: 'beech', diameter: { value: 20, unit: 'in' }, marks: ['hollow'] } },
    ]);
  });

  test('what cannot be said is left out, and the description itself stays as it was', () => {
    expect(notesOf('r2d2')).toEqual([]);
    const read = reader.read('hard rock fourteen inches');
    expect(read.ok).toBe(false);
  });

  test('names of places become words that the ear knows', () => {
    expect(own.freeWords).toContain('quimby');
    expect(grammar.freeWords).not.toContain('quimby');
  });
});
