/** Words that were said against phones or words that were heard: how many phones are wrong, which word is nearest. */

import { normalise } from '../../../grammar/description/normalise.ts';
import { createLexicon } from '../../../grammar/pronunciation/lexicon.ts';
import { phoneDistance } from '../../../grammar/pronunciation/phone-confusion.ts';

const lexicon = createLexicon();
const ordinals =
  'zeroth first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth'.split(
    ' ',
  );

/** Recognised text as words that can be pronounced; a general recogniser likes to write "7th". */
export function wordsOf(text: string): string[] {
  const spelled = text.replace(/(\d+)(st|nd|rd|th)\b/gi, (_, figure: string) => {
    const words = normalise(figure).split(' ');
    const last = words.pop()!;
    const value = Number(figure) % 100;
    const own = value < 20 ? ordinals[value] : value % 10 === 0 ? undefined : ordinals[value % 10];
    return [...words, own ?? `${last.replace(/y$/, 'ie')}th`].join(' ');
  });
  return normalise(spelled)
    .replace(/,/g, '')
    .split(' ')
    .filter((word) => word !== '');
}

/** The usual pronunciation of recognised words, one after the other. */
export const phonesOfText = (text: string): number[] =>
  wordsOf(text).flatMap((word) => [...(lexicon.pronounce(word)[0] ?? [])]);

/** The word of a list that sounds nearest to what was heard; nothing where nothing was. */
export function nearestOf(list: readonly string[], heard: readonly number[]): string | undefined {
  if (heard.length === 0) return undefined;
  let best: { word: string; far: number } | undefined;
  for (const word of list)
    for (const said of lexicon.pronounce(word)) {
      const far = phoneDistance(said, heard);
      if (best === undefined || far < best.far) best = { word, far };
    }
  return best?.word;
}

/**
 * Fewest substitutions, insertions and deletions of phones over all pronunciations of what was said, and the length of
 * the pronunciation that has them.
 *
 * @example phoneErrors('three', phonesOf('T R IY')) // { errors: 1, length: 3 }
 */
export function phoneErrors(said: string, heard: ArrayLike<number>): { errors: number; length: number } {
  // Cost and reference length at each place of what was heard, word by word.
  let row = Array.from({ length: heard.length + 1 }, (_, j) => ({ errors: j, length: 0 }));
  for (const word of wordsOf(said)) {
    const variants = lexicon.pronounce(word);
    if (variants.length === 0) continue;
    const ends = variants.map((variant) => {
      let now = row;
      for (let i = 0; i < variant.length; i++) {
        const next = [{ errors: now[0]!.errors + 1, length: now[0]!.length + 1 }];
        for (let j = 1; j <= heard.length; j++) {
          const same = variant[i] === heard[j - 1] ? 0 : 1;
          const options = [
            { errors: now[j - 1]!.errors + same, length: now[j - 1]!.length + 1 },
            { errors: now[j]!.errors + 1, length: now[j]!.length + 1 },
            { errors: next[j - 1]!.errors + 1, length: next[j - 1]!.length },
          ];
          next.push(options.reduce((a, b) => (b.errors < a.errors ? b : a)));
        }
        now = next;
      }
      return now;
    });
    row = row.map((_, j) => ends.map((end) => end[j]!).reduce((a, b) => (b.errors < a.errors ? b : a)));
  }
  return row[heard.length]!;
}
