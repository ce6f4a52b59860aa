/** The automaton: as small as it can be, the same language as before it was made small, the same for one synonym more. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { compile, compileUnminimised } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import type { Description } from '../../grammar/description/model.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { toJsgf, toSrgsAbnf, toSrgsXml } from '../../grammar/writing/exports.ts';
import { helpOf } from '../../grammar/writing/help.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { reader, automaton as whole } from '../support/language.ts';
import { search } from '../support/whole.ts';

const small = (...patterns: string[]): Description => ({
  version: 'small',
  rules: [{ id: 'r', family: 'f', patterns, sets: ['kind=next'] }],
  fillers: [],
  freeWords: [],
});

/** Everything that an automaton accepts up to a length, as words with their tags. */
function language(automaton: Automaton, from: number, longest: number): Set<string> {
  const found = new Set<string>();
  const { arcFrom, arcTags, arcTo, arcWord, finalFrom, finalTags, tagSequences, words } = automaton;
  const text = (sequence: number): string => JSON.stringify(tagSequences[sequence]);
  const walk = (state: number, said: string, left: number): void => {
    for (let f = finalFrom[state]!; f < finalFrom[state + 1]!; f++)
      found.add(`${said} ${text(finalTags[f]!)}`);
    if (left === 0) return;
    for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) {
      walk(arcTo[arc]!, `${said} ${text(arcTags[arc]!)} ${words[arcWord[arc]!]}`, left - 1);
    }
  };
  walk(from, '', longest);
  return found;
}

const pattern = fc.letrec<{ any: string; word: string }>((tie) => ({
  any: fc.oneof(
    { maxDepth: 3 },
    tie('word'),
    fc.tuple(tie('any'), tie('any')).map(([a, b]) => `${a} ${b}`),
    fc.tuple(tie('any'), tie('any')).map(([a, b]) => `(${a} | ${b})`),
    fc.tuple(tie('word'), tie('any')).map(([a, b]) => `${a} [${b}]`),
    fc.tuple(tie('any'), tie('any')).map(([a, b]) => `(${a} & ${b})`),
  ),
  word: fc.constantFrom('a', 'b', 'c', 'a {taped=true}', 'b {count=2}'),
})).any;

describe('the automaton', () => {
  test('of any small pattern has no two states with the same continuations, and no state too many', () => {
    fc.assert(
      fc.property(pattern, (text) => {
        const automaton = compile(small(text));
        const before = compileUnminimised(small(text));
        const longest = 12;
        expect(language(automaton, 0, longest)).toEqual(language(before, 0, longest));
        const continuations = Array.from({ length: automaton.states }, (_, state) =>
          [...language(automaton, state, longest)].sort().join('\n'),
        );
        // The states of the smallest deterministic machine are the different continuations (Myhill and Nerode).
        const needed = new Set(
          Array.from({ length: before.states }, (_, state) =>
            [...language(before, state, longest)].sort().join('\n'),
          ),
        );
        expect(new Set(continuations).size).toBe(automaton.states);
        expect(automaton.states).toBe(needed.size);
      }),
      { numRuns: 100 },
    );
  });

  test('merges loops that do the same', () => {
    const loops: Description = {
      ...small('go <s+>', 'run <s+>'),
      rules: [...small('go <s+>', 'run <s+>').rules, { id: 's', patterns: ['left', 'right'] }],
    };
    expect(compile(loops).states).toBe(3);
  });

  test('of the whole description accepts what the unminimised one accepts, word for word and slip for slip', () => {
    const two = compileUnminimised(grammar);
    expect(whole.states).toBeLessThan(two.states);
    const [a, b] = [reader, createReader(two)];
    const random = seeded(11);
    const pick = (n: number): number => Math.floor(random() * n);
    for (let i = 0; i < 600; i++) {
      const walked: string[] = [];
      let state = two.start;
      while (walked.length < 14) {
        const arcs = two.arcFrom[state + 1]! - two.arcFrom[state]!;
        const ends = two.finalFrom[state + 1]! > two.finalFrom[state]!;
        if (arcs === 0 || (ends && random() < 0.5)) break;
        const arc = two.arcFrom[state]! + pick(arcs);
        walked.push(two.arcWord[arc] === 0 ? 'alder' : two.words[two.arcWord[arc]!]!);
        state = two.arcTo[arc]!;
      }
      if (random() < 0.5) walked.splice(pick(walked.length), 1, two.words[1 + pick(two.words.length - 1)]!);
      const [x, y] = [a.read(walked.join(' ')), b.read(walked.join(' '))];
      expect(x.ok, walked.join(' ')).toBe(y.ok);
      if (x.ok && y.ok) {
        const keys = (read: typeof x): string[] =>
          read.value.map(({ notes: [note] }) => noteKey(note)).sort();
        expect(keys(x)).toEqual(keys(y));
      }
    }
  });
});

describe('one synonym more in the description', () => {
  const more: Description = {
    ...grammar,
    rules: grammar.rules.map((rule) =>
      rule.id === 'trees.again' ? { ...rule, patterns: [...rule.patterns, 'likewise'] } : rule,
    ),
  };
  const [before, after] = [parseDescription(grammar), parseDescription(more)];
  test('is read', () => {
    expect(reader.read('likewise').ok).toBe(false);
    const read = createReader(compile(more)).read('likewise');
    expect(read.ok && read.value.map(({ notes: [note] }) => note)).toEqual([{ kind: 'again' }]);
  });
  test.each([
    ['the help page', (trees: typeof before) => JSON.stringify(helpOf(trees))],
    ['the SRGS export', toSrgsXml],
    ['the SRGS export in its ABNF form', toSrgsAbnf],
    ['the JSGF export', toJsgf],
  ])('stands in %s', (_, write) => {
    expect(write(before)).not.toContain('likewise');
    expect(write(after)).toContain('likewise');
  });
  test('is heard', () => {
    const lexicon = createLexicon();
    const heard = (description: Description) => {
      const { logp, frames } = said(lexicon.pronounce('likewise')[0]!);
      const graph = createGraph(compile(description), lexicon, { free: description.freeWords });
      return search(graph, logp, frames).hypotheses[0]?.words.map(({ word }) => word);
    };
    expect(heard(grammar)).not.toEqual(['likewise']);
    expect(heard(more)).toEqual(['likewise']);
  });
  test('is known again when it is written wrong', () => {
    const nearly = (description: Description) => {
      const understood = createUnderstanding(compile(description), description)('likewize');
      return understood.ok && understood.value[0]?.notes[0];
    };
    expect(nearly(grammar)).not.toEqual({ kind: 'again' });
    expect(nearly(more)).toEqual({ kind: 'again' });
  });
});

/** Frames in which each phone in turn is nearly certain, with a blank behind it. */
function said(sound: ArrayLike<number>): { logp: Float32Array; frames: number } {
  const frames = 2 * sound.length + 1;
  const logp = new Float32Array(frames * 40).fill(-9);
  for (let t = 0; t < frames; t++) logp[t * 40 + (t % 2 === 1 ? sound[(t - 1) / 2]! : 0)] = -0.005;
  return { logp, frames };
}
