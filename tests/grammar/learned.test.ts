/** The learned reader: a network held against the library that trained it, and what may come of its plain forms. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { Composer } from '../../grammar/reading/composer.ts';
import { LearnedReader } from '../../grammar/reading/learned/learned-reader.ts';
import { PlainFormNetwork } from '../../grammar/reading/learned/network.ts';
import { plainText } from '../../grammar/reading/learned/plain-form.ts';
import { symbolsOf } from '../../grammar/reading/learned/symbols.ts';
import { readWeights } from '../../grammar/reading/learned/weights.ts';
import type { SaidPiece } from '../../grammar/reading/pieces.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { required } from '../../shared/core/required.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { automaton, reader, trees } from '../support/language.ts';

const file = readFileSync(new URL('../../grammar/reading/learned/plain-forms.safetensors', import.meta.url));
const weights = readWeights(file);
if (!weights.ok) throw new Error(weights.error);
const network = new PlainFormNetwork(weights.value);
const learned = new LearnedReader(weights.value);
const composer = new Composer(trees, reader);
const piecesOf = (text: string): readonly SaidPiece[] => required(composer.asSaid(text), text).scan.pieces;
const understand = createUnderstanding(automaton, grammar, undefined, () => learned);

describe('the network', () => {
  // Chances of PyTorch 2.11 with the same weights (`server/language/training/reference.py`).
  const reference = JSON.parse(
    readFileSync(new URL('../references/learned/chances.json', import.meta.url), 'utf8'),
  ) as readonly {
    text: string;
    said: readonly { text: string; features: readonly string[]; shown: readonly string[] }[];
    before: readonly (readonly string[])[];
    steps: readonly number[];
    chances: readonly number[];
  }[];

  test.each(reference)(
    'gives the chances of PyTorch for "$text"',
    ({ said: symbols, before, steps, chances }) => {
      const said = network.encode(
        symbols.map(({ text, features, shown }, piece) => ({
          is: features[0] === 'k:word' ? ('word' as const) : ('break' as const),
          text,
          features,
          shown,
          piece,
        })),
        before,
      );
      let state = network.begin();
      let last = 0;
      steps.forEach((step, at) => {
        const next = network.next(said, state, last);
        expect(next.chances[step]).toBeCloseTo(chances[at]!, 3);
        expect(Math.max(...next.chances)).toBe(next.chances[step]);
        state = next.state;
        last = step;
      });
    },
  );
});

it.each(["don't use doyle", 'we do not use metres here'])('"%s" is not asked as its contrary', (said) => {
  const read = understand(said);
  expect(JSON.stringify(read.ok ? read.value : [])).not.toContain('"setting"');
});

describe('the file of weights', () => {
  test('is read from any place in memory', () => {
    const moved = new Uint8Array(file.length + 3);
    moved.set(file, 3);
    const read = readWeights(moved.subarray(3));
    expect(read.ok && read.value.vector('bias')).toEqual(weights.value.vector('bias'));
  });
  test.each([0, 7, 100, 5000, file.length - 1])('of %i bytes only is refused with a sentence', (length) => {
    const read = readWeights(file.subarray(0, length));
    expect(read).toMatchObject({
      ok: false,
      error: expect.stringMatching(/^The learned reader's file .*\.$/),
    });
  });
});

describe('a plain form', () => {
  const word = fc.constantFrom(
    ...'um the that oak red birch fourteen 12 16.2 inches feet paces six tree two not no dead scratch last was should be plot how many tall top base degrees 40 percent , and my eye five shadow pole logs cull yes nope chuck reckon doozy'.split(
      ' ',
    ),
  );
  const text = fc.array(word, { minLength: 2, maxLength: 14 }).map((words) => words.join(' '));
  const figures = (one: string): string[] => one.match(/\d+(?:\.\d+)?/g) ?? [];
  test('is written with few numbers of its own', () => {
    expect(new Set(network.words.flatMap(figures))).toEqual(new Set(['1', '2', '3']));
  });
  test('has no number that was not said', () => {
    fc.assert(
      fc.property(text, (said) => {
        const pieces = piecesOf(said);
        const told = symbolsOf(pieces).flatMap(({ number, ordinal, text: one }) => [
          ...figures(one),
          ...(number?.pair ?? []).map(String),
          ...[number?.value ?? ordinal ?? []]
            .flat()
            .flatMap((value) => [
              String(value),
              String(Math.floor(value)),
              String(Math.round((value % 1) * 12)),
            ]),
        ]);
        for (const { text: form } of learned.formsOf(pieces))
          expect([...told, '1', '2', '3']).toEqual(expect.arrayContaining(figures(form)));
      }),
      { numRuns: 40 },
    );
  });
  test('writes copied numbers with the unit that was said, or another', () => {
    const said = symbolsOf(piecesOf('eye five eight, 16.2'));
    const at = said.findIndex(({ is }) => is === 'number');
    expect(plainText([{ word: 'eye' }, { copy: at }, { word: 'unit:ft+in' }], said)).toBe('eye 5\'8"');
    expect(plainText([{ copy: said.length - 1 }, { word: 'unit:in' }], said)).toBe('16.2 inches');
  });
});

describe('what the learned reader makes of what nobody else reads', () => {
  const offers = (text: string): readonly unknown[] | string => {
    const read = understand(text);
    if (!read.ok) return read.error;
    expect(read.value[0]!.posterior).toBeLessThan(takeFrom);
    return read.value.map(({ notes }) => notes);
  };
  test.each([
    ['she means fifteen and a half, the tape was slack', [[{ kind: 'change', number: { value: 15.5 } }]]],
  ])('"%s" is asked about', (text, notes) => {
    expect(offers(text)).toMatchObject(notes);
  });
  test('how one measures is kept where it is all but sure', () => {
    expect(understand('my eyeballs sit five foot four up')).toMatchObject({
      ok: true,
      value: [{ notes: [{ kind: 'setting', set: { what: 'eye' } }], posterior: 1 }],
    });
  });
  test('what leaves nothing out and is all but sure is kept', () => {
    expect(understand('and I went back fifteen paces till the stick just covered it')).toMatchObject({
      ok: true,
      value: [
        { notes: [{ kind: 'height', height: { method: 'stick', distance: { count: 15 } } }], posterior: 1 },
      ],
    });
  });
  test('a word that nobody knows is not left out in silence where it may be a name', () => {
    expect(offers('tree hasOwnProperty 12 inches')).toHaveLength(1);
    expect(offers('mean height of hasOwnProperty')).toHaveLength(1);
  });
  test('a word that is short for a tree may be said of anything', () => {
    const read = understand('oh and my steps get short on the hill, say two and a quarter feet from here on');
    expect(read).toMatchObject({
      value: [{ notes: [{ kind: 'setting', set: { what: 'pace', of: 'steps' } }] }],
    });
  });
  test('no command is made of what has words that nobody knows', () => {
    expect(JSON.stringify(understand("that's it for the day, give me the report"))).not.toContain('control');
  });
  test('what is asked is no remark', () => {
    expect(understand('is the weather lovely today?').ok).toBe(false);
  });
  test('small talk is for nobody', () => {
    expect(understand("mornin' there")).toEqual({
      ok: false,
      error: 'Nothing of that is for the book. I am ready for the next note.',
    });
  });
  test('a question in other words is answered', () => {
    expect(understand('what does all of that add up to, roughly')).toMatchObject({
      ok: true,
      value: [{ notes: [{ kind: 'ask' }], posterior: 1 }],
    });
  });
  test('what the others keep is kept, or asked about beside what it makes of it', () => {
    const without = createUnderstanding(automaton, grammar);
    fc.assert(
      fc.property(
        fc
          .array(
            fc.constantFrom(
              ...'oak birch fourteen 12 feet paces tree two not dead scratch plot how tall , and eye pole yes'.split(
                ' ',
              ),
            ),
            { minLength: 2, maxLength: 9 },
          )
          .map((words) => words.join(' ')),
        (text) => {
          const [now, before] = [understand(text), without(text)];
          // What was kept before is kept now, or asked about beside something else.
          if (!before.ok || before.value[0]!.posterior < takeFrom) return;
          if (JSON.stringify(now) === JSON.stringify(before)) return;
          expect(now).toMatchObject({ ok: true, value: [{}, { notes: before.value[0]!.notes }] });
          expect(now.ok && now.value[0]!.posterior).toBeLessThan(takeFrom);
        },
      ),
      { numRuns: 60 },
    );
  });
});
