/**
 * What a reading of written words takes liberties with: words passed over, supposed, or taken for others. A note is
 * kept without a question only when enough of it stands there as it is; `decide` weighs that.
 */
import type { PathWord } from '../automaton/lattice.ts';
import type { Lexicon, Pronunciation } from '../pronunciation/lexicon.ts';

export interface EditEvidence {
  /** Written words that are no part of the note, beside fillers and words said twice. */
  readonly passedOver: number;
  /** Words of the note that were not written. */
  readonly supposed: number;
  /**
   * Words of three or more letters that are read as they are written. Numbers, which any mess is full of, count as two
   * at most, and not at all beside a made-up word that begins with another letter than what it is taken for.
   */
  readonly own: number;
  /** So many words of its own the reading must have to be believed. */
  readonly needs: number;
}

interface WrittenPath {
  /** The words of a path that were not passed over, in order. */
  readonly path: readonly (PathWord & { readonly text: string; readonly free: boolean })[];
  readonly words: readonly string[];
  /** Columns between the written words, `words.length + 1` of them. */
  readonly borders: readonly number[];
}

interface WordKnowledge {
  readonly lexicon: Lexicon;
  readonly fillers: ReadonlySet<string>;
  /** True for a word of the vocabulary. */
  readonly vocabulary: (word: string) => boolean;
  /** True for a word that is part of numbers. */
  readonly number: (word: string) => boolean;
}

/** What the path of a reading takes liberties with. */
export function editEvidenceOf({ path, words, borders }: WrittenPath, known: WordKnowledge): EditEvidence {
  const taken = words.map(() => false);
  let supposed = 0;
  let own = 0;
  let numbers = 0;
  let strange = false;
  let needs = 0;
  for (let at = 0; at < path.length; ) {
    const first = path[at]!;
    if (first.from === first.to) {
      supposed++;
      at++;
      continue;
    }
    // "eightpaces" is two words of the note, "for tea" one: what lies between two borders belongs together.
    let last = at;
    while (last + 1 < path.length && !borders.includes(path[last]!.to)) last++;
    const from = borders.findLastIndex((border) => border <= first.from);
    const to = borders.findIndex((border) => border >= path[last]!.to);
    const written = words.slice(from, to);
    for (let word = from; word < to; word++) taken[word] = true;
    const meant = path.slice(at, last + 1);
    at = last + 1;
    if (meant.length === 1 && meant[0]!.free) continue;
    const said = meant.map(({ text }) => text);
    if (said.join(' ') === written.join(' ')) {
      const long = said.filter((word) => word.length > 2);
      own += long.filter((word) => !known.number(word)).length;
      numbers += long.filter(known.number).length;
    } else {
      needs = Math.max(needs, needed(written, said, known));
      strange ||= written[0]![0] !== said[0]![0] && !written.every((word) => known.lexicon.has(word));
    }
  }
  // "So what" is not "what": a filler that is a word by itself says nothing beside one word.
  if (words.some((word, at) => !taken[at] && wordsToo.has(word))) needs = Math.max(needs, 2);
  // A letter said twice is spelled out, not stammered.
  const isStammer = (at: number): boolean =>
    words[at]!.length > 1 && [at - 1, at + 1].some((beside) => taken[beside] && words[beside] === words[at]);
  const left = [...words.keys()].filter((at) => !taken[at] && !known.fillers.has(words[at]!));
  const stammers = left.filter(isStammer).length;
  // Who stammers may be meaning another word, too: both at once is much to suppose.
  if (stammers > 0 && needs > 0) needs = Math.max(needs, 3);
  return {
    passedOver: left.length - stammers,
    supposed,
    own: own + (strange ? 0 : Math.min(2, numbers)),
    needs,
  };
}

/** Fillers that are words by themselves. */
const wordsToo: ReadonlySet<string> = new Set(['so', 'well', 'hey', 'please']);

/** Letters from which on a slip of the keyboard is near to one word only, as "mapel" and "pases" are. */
const telling = 5;

/** Words of its own that a reading needs when these written words are taken for those of the note. */
function needed(written: readonly string[], said: readonly string[], known: WordKnowledge): number {
  const { lexicon, vocabulary } = known;
  const real = written.every((word) => lexicon.has(word));
  const letters = written.join('').length;
  const alike = sounds(written, lexicon).some((one) => sounds(said, lexicon).some((two) => same(one, two)));
  if (alike && (real || letters > 3)) return 1;
  if (letters < 3 || written.some(vocabulary)) return Number.POSITIVE_INFINITY;
  // Abbreviations ("lps") are near to any three letters.
  if (letters < 4) return /[aeiouy]/.test(said.join('')) ? 4 : Number.POSITIVE_INFINITY;
  if (real || said.some((word) => isSpelledOut(word, lexicon))) return 3;
  const shorter = Math.min(letters, said.join('').length);
  return shorter < telling && !isMixedUp(written.join(''), said.join('')) ? 3 : 1;
}

/** The same letters in another order behind the first: fingers were too quick. */
const isMixedUp = (written: string, meant: string): boolean =>
  written[0] === meant[0] && [...written].sort().join('') === [...meant].sort().join('');

/** An abbreviation, said letter by letter: many a string of letters is near to one. */
const isSpelledOut = (word: string, lexicon: Lexicon): boolean =>
  (lexicon.pronounce(word)[0]?.length ?? 0) > word.length + 1;

const same = (a: Pronunciation, b: Pronunciation): boolean =>
  a.length === b.length && a.every((phone, at) => phone === b[at]);

/** All ways to say the words one after another. */
function sounds(words: readonly string[], lexicon: Lexicon): Pronunciation[] {
  return words.reduce<Pronunciation[]>(
    (all, word) =>
      all.flatMap((before) => lexicon.pronounce(word).map((sound) => Uint8Array.from([...before, ...sound]))),
    [new Uint8Array()],
  );
}
