/**
 * Runs `tests/phrases/*.txt`: what a person says, and what it means. Each file belongs to one family. Lines before
 * the first `#` are comments; then, separated by blank lines,
 *
 *     # a sentence that names the case
 *     the words, one wording a line
 *     ==> {"kind": ...}          each wording means exactly this note and nothing else
 *     ==? other words            ... or this one as well: the book asks which (the other words mean it alone)
 *     ==! part of the sentence   each wording is refused, with this in the sentence
 *     ~>  {"kind": ...}          the tolerant reader puts this first
 *     ~!                         no wording is kept without a question: each is asked about or refused
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { type Note, noteSchema } from '../../shared/note/note.ts';
import { automaton, bySound, reader } from '../support/language.ts';

interface Case {
  readonly title: string;
  readonly words: string;
  readonly note: Note | null;
  readonly others: readonly string[];
  readonly refusal: string | null;
  readonly tolerant: boolean;
  readonly unkept: boolean;
}

function casesOf(text: string): Case[] {
  return text
    .slice(text.startsWith('#') ? 0 : text.indexOf('\n#') + 1)
    .split(/\n\s*\n/)
    .filter((block) => block.trim() !== '')
    .flatMap((block) => {
      const lines = block.split('\n').map((line) => line.trim());
      const [title = ''] = lines;
      if (!title.startsWith('# ')) throw new Error(`a case begins with its title, not with "${title}"`);
      const isWords = (line: string): boolean => line !== '' && !/^(==|~>|~!|#)/.test(line);
      const after = (mark: string): string[] =>
        lines.filter((line) => line.startsWith(mark)).map((line) => line.slice(mark.length).trim());
      const [note = after('~>')[0] ?? null] = after('==>');
      const [refusal = null] = after('==!');
      const unkept = after('~!').length > 0;
      if ([note !== null, refusal !== null, unkept].filter(Boolean).length !== 1)
        throw new Error(`"${title}" needs one of ==>, ~>, ==! and ~!`);
      const words = lines.filter(isWords);
      if (words.length === 0) throw new Error(`"${title}" has no words`);
      return words.map((each) => ({
        title: title.slice(2),
        words: each,
        note: note === null ? null : noteSchema.parse(JSON.parse(note)),
        others: after('==?'),
        refusal,
        tolerant: after('~>').length > 0,
        unkept,
      }));
    });
}

const folder = new URL('../phrases/', import.meta.url);
const families = readdirSync(folder)
  .filter((file) => file.endsWith('.txt'))
  .sort()
  .map((file) => ({
    family: file.slice(0, -4),
    cases: casesOf(readFileSync(new URL(file, folder), 'utf8')),
  }));

const { tolerant } = bySound();
const understand = createUnderstanding(automaton, grammar);

/** Numbers to nine digits: five feet four is 5 + 4/12 however it was added up. */
const rounded = (value: unknown): unknown =>
  JSON.parse(JSON.stringify(value), (_, each) =>
    typeof each === 'number' ? Number(each.toPrecision(9)) : each,
  );

function readings(words: string): unknown[] {
  const read = reader.read(words);
  if (!read.ok) throw new Error(`"${words}" was refused: ${read.error.message}`);
  return read.value.map((reading) => rounded(reading.notes[0]));
}

describe.each(families)('$family', ({ cases }) => {
  test.each(cases.filter((each) => each.note !== null && !each.tolerant))(
    '$title: $words',
    ({ words, note, others }) => {
      const meant = [rounded(note), ...others.flatMap(readings)];
      const read = readings(words);
      expect(read).toHaveLength(meant.length);
      for (const each of meant) expect(read).toContainEqual(each);
    },
  );

  test.each(cases.filter((each) => each.tolerant))('$title, nearly: $words', ({ words, note }) => {
    const [best] = tolerant.read(normalise(words));
    expect(rounded(best?.notes[0] ?? null)).toEqual(rounded(note));
  });

  test.each(cases.filter((each) => each.unkept))('$title, never kept in silence: $words', ({ words }) => {
    const understood = understand(words);
    const kept = understood.ok && understood.value.some(({ posterior }) => posterior >= takeFrom);
    expect(kept ? understood.value : []).toEqual([]);
  });

  test.each(cases.filter((each) => each.refusal !== null))(
    '$title, refused: $words',
    ({ words, refusal }) => {
      const read = reader.read(words);
      expect(read.ok ? read.value.map((each) => each.notes[0]) : null).toBeNull();
      if (!read.ok) expect(read.error.message).toContain(refusal);
    },
  );
});

describe('the collection', () => {
  const all = families.flatMap((each) => each.cases);

  test('every example of the grammar is in it', () => {
    const said = new Set(all.map((each) => each.words));
    const missing = grammar.rules
      .flatMap((rule) => rule.examples ?? [])
      .map((each) => each.words)
      .filter((words) => !said.has(words));
    expect(missing).toEqual([]);
  });

  test('it has at least 600 cases, a third of them failures or questions', () => {
    expect(all.length).toBeGreaterThanOrEqual(600);
    const hard = all.filter(
      (each) => each.refusal !== null || each.others.length > 0 || each.tolerant || each.unkept,
    );
    expect(hard.length * 3).toBeGreaterThanOrEqual(all.length);
  });

  test('no words stand in it twice', () => {
    const words = all.map((each) => each.words);
    expect(words.filter((each, index) => words.indexOf(each) !== index)).toEqual([]);
  });

  test('every kind of note is in it', () => {
    const kinds = new Set(all.map((each) => each.note?.kind));
    for (const option of noteSchema.def.options) {
      expect(kinds).toContain([...option.def.shape.kind.def.values][0]);
    }
  });
});

describe('the description', () => {
  // Rules of weight 0 are read and never sampled: what they say is open on purpose, so they have no example.
  test('every rule that can be said has a help sentence and three examples that say what they mean', () => {
    for (const rule of grammar.rules.filter((each) => each.family !== undefined && each.weight !== 0)) {
      expect(rule.help, rule.id).toMatch(/^[A-Z].*[.?]$/);
      expect(rule.examples?.length ?? 0, rule.id).toBeGreaterThanOrEqual(3);
      for (const { words, note } of rule.examples ?? []) {
        expect(readings(words), words).toEqual([rounded(noteSchema.parse(note))]);
      }
    }
  });
});
