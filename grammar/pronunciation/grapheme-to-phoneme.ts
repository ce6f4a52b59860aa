/**
 * Letter to sound: how an unknown word is probably said, by one decision tree a letter trained from CMUdict
 * (tests/grammar/make/grapheme-to-phoneme.ts prints its error). Words without vowels are also spelled out.
 */
import trees from './grapheme-to-phoneme.json' with { type: 'json' };

/** A leaf is coded phones; a branch is [phones otherwise, feature, value -> tree]. */
type Tree = string | readonly (string | number | { readonly [value: string]: Tree })[];

const treeOf: { readonly [letter: string]: Tree } = trees;
/** Features 0..7 are the letters at these offsets; 8 and 9 are the phones of the last two letters. */
const offsets = [-4, -3, -2, -1, 1, 2, 3, 4];

/** The coded phones of each letter of `word`. */
function phonesOfLetters(word: string): string[] {
  const given: string[] = [];
  for (let i = 0; i < word.length; i++) {
    let tree: Tree | undefined = treeOf[word.charAt(i)];
    let sound = '';
    while (tree !== undefined) {
      if (typeof tree === 'string') {
        sound = tree;
        break;
      }
      const [otherwise, feature, next] = tree;
      if (typeof otherwise !== 'string' || typeof feature !== 'number' || typeof next !== 'object') break;
      sound = otherwise;
      const offset = offsets[feature];
      const value = (offset === undefined ? given[i - (feature - 7)] : word[i + offset]) ?? '#';
      tree = next[value];
    }
    given.push(sound);
  }
  return given;
}

/**
 * The coded phones (see `phoneCodes`) of a word that no dictionary has; an empty string when it has no letters.
 * Apostrophes and hyphens are not heard. Example: `soundOut('brindlecote')`.
 */
export function phonesOfSpelling(word: string): string {
  return phonesOfLetters(word.toLowerCase().replace(/[^a-z]/g, '')).join('');
}
