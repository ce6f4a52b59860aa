/** How recognisers are compared by phones. Pronunciations: CMUdict (npm cmu-pronouncing-dictionary); counts by hand. */
import { dictionary } from 'cmu-pronouncing-dictionary';
import { describe, expect, test } from 'vitest';
import { phonesOf } from '../../grammar/pronunciation/lexicon.ts';
import { nearestOf, phoneErrors, phonesOfText, wordsOf } from '../bench/hearing/bysound.ts';

const heard = (...words: string[]) =>
  words.flatMap((word) => [...phonesOf(dictionary[word]!.replace(/\d/g, ''))]);

describe('phones that are wrong', () => {
  test.each([
    // T HH R IY: said TH R IY.
    ['three', heard('three'), 0, 3],
    ['three', phonesOf('T R IY'), 1, 3],
    ['three', phonesOf('R IY'), 1, 3],
    ['three', phonesOf('TH R IY S'), 1, 3],
    ['three', [], 3, 3],
    // Either pronunciation of "either" is right, and its own length counts.
    ['either', heard('either'), 0, 3],
    ['either', heard('either(2)'), 0, 3],
    // F IH F T IY against F IH F T IY N.
    ['fifty', heard('fifteen'), 1, 5],
    // What one word has too many, the next cannot take: S EH V AH N, IH L EH V AH N.
    ['seven eleven', heard('seven', 'eleven'), 0, 11],
    ['seven eleven', heard('seven'), 6, 11],
  ] as const)('of "%s"', (said, phones, errors, length) => {
    expect(phoneErrors(said, phones)).toEqual({ errors, length });
  });

  test('of the same words, however they are written, are none', () => {
    for (const [text, words] of [
      ['7th.', 'seventh'],
      [' 21st', 'twenty first'],
      ['20th', 'twentieth'],
      ['Eight!', 'eight'],
      ['$5', 'five'],
      ['12', 'twelve'],
    ] as const) {
      expect(wordsOf(text).join(' ')).toBe(words);
      expect(phoneErrors(words, phonesOfText(text)).errors).toBe(0);
    }
  });

  test('the nearest of a list is the one that differs by the likeliest slips', () => {
    const list = ['three', 'nine', 'fifteen', 'fifty'];
    expect(nearestOf(list, phonesOfText('tree'))).toBe('three');
    expect(nearestOf(list, phonesOfText('line'))).toBe('nine');
    expect(nearestOf(list, phonesOfText('fifth'))).toBe('fifty');
    expect(nearestOf(list, [])).toBeUndefined();
  });
});
