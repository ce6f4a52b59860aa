import { beforeAll, describe, expect, test } from 'vitest';
import { compile } from '../../grammar/automaton/compile.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { createUnderstanding, type Understanding } from '../../grammar/reading/understand.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';

let understand: (text: string) => Understanding;
beforeAll(() => {
  understand = createUnderstanding(keptAutomaton(grammar), grammar);
});
const sure = (text: string) => {
  const read = understand(text);
  return read.ok && read.value[0]!.posterior >= takeFrom ? read.value[0]!.notes[0] : read;
};
const paced = {
  kind: 'height',
  height: { method: 'stick', distance: { by: 'paces', count: 8 }, eye: { value: 5.5 } },
};

describe('written words', () => {
  test.each([
    'eight paces eye five and a half',
    '8 paces, eye 5.5',
    'ate paces i five and a half',
    'um eight paces okay eye five and a half',
    'Eight paces. Eye five and a half!',
  ])('that mean one thing are taken for it: %s', (text) => expect(sure(text)).toEqual(paced));

  test.each([
    ['thirtee paces', ['thirty paces', 'thirteen paces']],
    ['sixt paces', ['six paces', 'sixty paces']],
    ['seventeey paces', ['seventy paces', 'seventeen paces']],
  ])('that may mean two things are offered, neither taken: %s', (text, meanings) => {
    const read = understand(text);
    expect(read.ok && read.value.map((candidate) => candidate.words).sort()).toEqual([...meanings].sort());
    if (read.ok)
      expect(Math.max(...read.value.map((candidate) => candidate.posterior))).toBeLessThan(takeFrom);
  });

  test('that lack a word are told which, those that are nothing why', () => {
    expect(understand('eight paces eye')).toEqual({
      ok: false,
      error: expect.stringMatching(
        /^Something is missing behind "eight paces eye"\. I understood "eight paces"; nothing is kept yet\. You can say: .*eye.*\.$/,
      ),
    });
    expect(understand('')).toMatchObject({ ok: false });
    expect(understand('the quick brown fox jumps over the lazy dog again and again')).toMatchObject({
      ok: false,
    });
    expect(understand('x'.repeat(2000))).toMatchObject({ ok: false });
  });

  // Every object of the language has properties of these names; as words they are words like others.
  test.each(['constructor', 'toString', '__proto__', 'hasOwnProperty', 'valueOf', 'isPrototypeOf'])(
    'names of what every object has are words like others: %s',
    (word) => {
      // Offered as a remark at most, of which nothing is kept without a yes.
      const told = understand(`the ${word} is here`);
      expect(told.ok && told.value[0]!.posterior > 0.5).toBe(false);
      expect(understand(`12 ${word}`)).toBeDefined();
      expect(sure(`remark the ${word} is here`)).toMatchObject({ kind: 'remark' });
      const taught = withUserWords(grammar, [{ word: word.toLowerCase(), species: 318 }]);
      const read = createUnderstanding(compile(taught), taught)('constructor fourteen inches');
      if (word === 'constructor')
        expect(read.ok && read.value[0]!.notes[0]).toMatchObject({ kind: 'tree', facts: { species: 318 } });
    },
  );

  test('a name of more letters than a book holds is refused with the limit', () => {
    expect(understand(`new stratum ${'alder '.repeat(30)}`)).toEqual({
      ok: false,
      error: 'That reads as a name of 179 letters; a name has at most 80, a remark 2000.',
    });
    expect(sure(`remark ${'alder '.repeat(30)}`)).toMatchObject({ kind: 'remark' });
  });

  // A word of taking back that was not said is never supposed, nor heard into another.
  test.each([
    'that height',
    'that tree',
    'the plot',
    'scrop that height',
    'scrach that',
    'undu',
    'scratchthe height',
    'unto that',
    'crop the height',
    'red oak fourteen, that height',
    'two logs, undu that',
    'take forty paces, that height',
  ])('that say no word of taking back are never read as one: %s', (text) => {
    const read = understand(text);
    const kinds = read.ok ? read.value.flatMap(({ notes }) => notes.map(({ kind }) => kind)) : [];
    expect(kinds).not.toContain('scratch');
    expect(kinds).not.toContain('undo');
  });

  test.each([
    'scratch the hight',
    'delete plott two',
    'remove that please now height',
    'take it off',
    'undo thatt',
  ])(
    'that say a word of taking back as it is may be read as one, and are asked about or kept: %s',
    (text) => {
      const read = understand(text);
      expect(read.ok && read.value[0]!.notes[0].kind).toMatch(/^(scratch|undo)$/);
    },
  );
});
