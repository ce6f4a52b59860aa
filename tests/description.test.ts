/**
 * The language description as a whole: nothing is said in two ways by accident, every field of every note can be
 * said, and the automaton stays small.
 */
import { describe, expect, test } from 'vitest';
import { compileTrees } from '../grammar/compile.ts';
import { grammar } from '../grammar/grammar.ts';
import { createReader, createSpeaker, parseDescription } from '../grammar/index.ts';
import { noteKey } from '../grammar/notekey.ts';
import { createSampler } from '../grammar/sample.ts';
import { type Note, questions } from '../shared/note.ts';
import { species } from '../shared/species.ts';

const trees = parseDescription(grammar);
const automaton = compileTrees(trees);
const reader = createReader(automaton);
const speaker = createSpeaker(trees);
const sampler = createSampler(trees);

/** Numbers from 0 to below 1, the same on every run (linear congruence of Numerical Recipes). */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

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
    const drawn = 2000;
    let open = 0;
    for (let i = 0; i < drawn; i++) {
      const { words, note } = sampler.sample(random);
      const read = reader.read(words);
      if (!read.ok) throw new Error(`"${words}": ${read.error.message}`);
      const notes = read.value.map((each) => each.note);
      if (notes.length === 1 && noteKey(notes[0]!) === noteKey(note)) continue;
      open++;
      for (const each of notes) expect(shape(each), words).toEqual(shape(note));
    }
    expect(open / drawn).toBeLessThan(0.003);
  });

  test('speaks what it reads, and reads what it speaks as that note and nothing else', () => {
    const random = seeded(7);
    for (let i = 0; i < 1500; i++) {
      const { note, words } = sampler.sample(random);
      const spoken = speaker.speak(note);
      if (spoken === undefined) throw new Error(`cannot be spoken: "${words}"`);
      const read = reader.read(spoken);
      const keys = read.ok ? read.value.map((each) => noteKey(each.note)) : [];
      expect(keys, spoken).toEqual([noteKey(note)]);
    }
  });

  test('names every species by its common name', () => {
    for (const { code, commonName } of species) {
      const words = speaker.speak({ kind: 'tree', facts: { species: code } });
      expect(words).toBe(commonName.toLowerCase().replaceAll('-', ' '));
    }
  });

  test('can ask every question', () => {
    for (const about of questions) expect(speaker.speak({ kind: 'ask', about }), about).toBeDefined();
  });

  test('is frozen', () => {
    expect(Object.isFrozen(grammar)).toBe(true);
    expect(Object.isFrozen(grammar.rules)).toBe(true);
  });

  test('compiles to less than 8 000 states and 110 000 arcs', () => {
    expect(automaton.states).toBeLessThan(8_000);
    expect(automaton.arcWord.length).toBeLessThan(110_000);
  });
});
