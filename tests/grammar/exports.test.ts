/** The exported grammars say what ours says: read by independent readers, checked against the published formats. */
import { runInNewContext } from 'node:vm';
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { toJsgf, toSrgsAbnf, toSrgsXml } from '../../grammar/writing/exports.ts';
import { examplesOf, helpOf } from '../../grammar/writing/help.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { noteScript } from '../../grammar/writing/sisr.ts';
import { seeded } from '../../shared/core/random.ts';
import type { Note } from '../../shared/note/note.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { checkSrgs, jsgfTags, matches, parseGrammar, parseXml, type Rules, sisrTags } from './exports.ts';

const trees = parseDescription(grammar);
const sampler = createSampler(trees);
const random = seeded(99);
const samples = Array.from({ length: 300 }, () => sampler.sample(random));
/** The script of the exports, run as the ECMAScript that it is. */
const noteOf = runInNewContext(`${noteScript}; note`) as (tags: readonly string[]) => Note;

/** Sentences whose note is not among those that the exported grammar gives them. */
function lost(rules: Rules, tagsOf: (tags: readonly string[]) => readonly string[]): string[] {
  return samples
    .filter(({ words, note }) => {
      const key = noteKey(note);
      return !matches(rules, 'note', words.split(' ')).some((tags) => noteKey(noteOf(tagsOf(tags))) === key);
    })
    .map(({ words }) => words);
}

describe('the exports', () => {
  const xml = checkSrgs(parseXml(toSrgsXml(trees)));

  test('as XML keep to SRGS 1.0, element by element', () => {
    expect(xml.wrong).toEqual([]);
  });

  test('as XML give every sampled sentence its note', () => {
    expect(lost(xml.rules, sisrTags)).toEqual([]);
  });

  test('as ABNF give every sampled sentence its note', () => {
    const abnf = toSrgsAbnf(trees);
    expect(abnf).toMatch(/^#ABNF 1\.0 UTF-8;\nlanguage en-US;\nmode voice;\nroot \$note;\n/);
    expect(lost(parseGrammar(abnf, 'abnf'), sisrTags)).toEqual([]);
  });

  test('as JSGF give every sampled sentence its note', () => {
    const jsgf = toJsgf(trees);
    expect(jsgf).toMatch(/^#JSGF V1\.0 UTF-8 en;\n/);
    expect(lost(parseGrammar(jsgf, 'jsgf'), jsgfTags)).toEqual([]);
  });

  test('refuse what is not said', () => {
    const jsgf = parseGrammar(toJsgf(trees), 'jsgf');
    expect(matches(jsgf, 'note', ['eight', 'paces', 'eye', 'blue'])).toEqual([]);
    expect(matches(xml.rules, 'note', ['paces', 'paces'])).toEqual([]);
  });

  test('are caught by the check when they break the format', () => {
    const broken = toSrgsXml(trees).replace('repeat="0-1"', 'repeat="maybe"').replace('<one-of>', '<any-of>');
    expect(() => parseXml(broken)).toThrow('closes');
    const wrong = toSrgsXml(trees).replace('repeat="0-1"', 'repeat="maybe"').replace('uri="#', 'uri="#un');
    expect(checkSrgs(parseXml(wrong)).wrong).toHaveLength(2);
  });
});

describe('help', () => {
  test('tells every family, each rule with its sentence, forms and examples', () => {
    const { families } = helpOf(trees);
    expect(new Set(families.map(({ family }) => family)).size).toBe(families.length);
    for (const { entries } of families) {
      for (const entry of entries) {
        expect(entry.help, entry.rule).toMatch(/^[A-Z].*[.?]$/);
        expect(entry.forms.length, entry.rule).toBeGreaterThan(0);
      }
    }
  });

  test('has an example of every rule that has one', () => {
    const shown = new Set(
      helpOf(trees).families.flatMap(({ entries }) => entries.map((entry) => entry.examples[0])),
    );
    for (const { examples } of trees.roots) if (examples?.[0]) expect(shown).toContain(examples[0].words);
    expect(examplesOf(trees)).toContain(trees.roots[0]!.examples![0]!.words);
  });
});
