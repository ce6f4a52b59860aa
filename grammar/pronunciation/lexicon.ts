/**
 * The lexicon: how words sound, as sequences of ARPAbet phones without stress. Common words come from CMUdict
 * (`lexicon.json`, made by tests/grammar/make/lexicon.ts), trade words are written by hand, all others are
 * sounded out by `grapheme-to-phoneme.ts`.
 */

import { lastOf, required } from '../../shared/core/required.ts';
import { phonesOfSpelling } from './grapheme-to-phoneme.ts';
import coded from './lexicon.json' with { type: 'json' };

/** The phones in the order of the acoustic model's outputs; 0 is the CTC blank. */
export const phones =
  '<blank> AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH'.split(
    ' ',
  ) as readonly string[];

/** One letter for each phone, in the order of `phones`: how lexicon.json writes them. */
export const phoneCodes = '_abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLM';

/** A pronunciation: phone ids 1..39. */
export type Pronunciation = Uint8Array;

/** Words of the trade that CMUdict lacks or lacks a usual variant of; the first is spoken. By hand; common practice, no source. */
export const tradeWords: Readonly<Record<string, readonly string[]>> = {
  alp: ['AE L P'],
  arborvitae: ['AA R B ER V AY T IY'],
  balsam: ['B AO L S AH M', 'B AA L S AH M'],
  baldcypress: ['B AO L D S AY P R AH S', 'B AO L D S AY P R IH S'],
  // Also as it is read by who knows it from paper only.
  basswood: ['B AE S W UH D', 'B EY S W UH D'],
  bigleaf: ['B IH G L IY F'],
  bigtooth: ['B IH G T UW TH'],
  blackgum: ['B L AE K G AH M'],
  boxelder: ['B AA K S EH L D ER'],
  buttonwood: ['B AH T AH N W UH D'],
  centimetre: ['S EH N T AH M IY T ER'],
  centimetres: ['S EH N T AH M IY T ER Z'],
  centre: ['S EH N T ER'],
  concolor: ['K AA N K AH L ER'],
  cottonwood: ['K AA T AH N W UH D'],
  dbh: ['D IY B IY EY CH'],
  doug: ['D AH G'],
  ewp: ['IY D AH B AH L Y UW P IY'],
  ewps: ['IY D AH B AH L Y UW P IY Z'],
  nro: ['EH N AA R OW'],
  nros: ['EH N AA R OW Z'],
  wo: ['D AH B AH L Y UW OW'],
  wos: ['D AH B AH L Y UW OW Z'],
  engelmann: ['EH NG G AH L M AH N'],
  hectare: ['HH EH K T EH R', 'HH EH K T AA R', 'HH EH K T ER'],
  hectares: ['HH EH K T EH R Z', 'HH EH K T AA R Z', 'HH EH K T ER Z'],
  hackberry: ['HH AE K B EH R IY'],
  hackmatack: ['HH AE K M AH T AE K'],
  jackpine: ['JH AE K P AY N'],
  // Before L and G many speakers have one vowel where others have two.
  log: ['L AO G', 'L AA G'],
  logs: ['L AO G Z', 'L AA G Z'],
  larch: ['L AA R CH'],
  metre: ['M IY T ER'],
  metres: ['M IY T ER Z'],
  pignut: ['P IH G N AH T'],
  popple: ['P AA P AH L'],
  quadratic: ['K W AA D R AE T IH K', 'K W AA D R AA T IH K'],
  quakie: ['K W EY K IY'],
  redcedar: ['R EH D S IY D ER'],
  shagbark: ['SH AE G B AA R K'],
  shortleaf: ['SH AO R T L IY F'],
  sitka: ['S IH T K AH'],
  subalpine: ['S AH B AE L P AY N'],
  sweetgum: ['S W IY T G AH M'],
  tamarack: ['T AE M ER AE K'],
  tulip: ['T UW L AH P', 'T UW L IH P'],
  tupelo: ['T UW P AH L OW'],
  codominant: ['K OW D AA M AH N AH N T'],
  corin: ['K AO R IH N'],
  edda: ['EH D AH'],
  erm: ['ER M'],
  limby: ['L IH M IY'],
  lorey: ['L AO R IY'],
  merch: ['M ER CH'],
  merchantable: ['M ER CH AH N T AH B AH L'],
  nought: ['N AO T'],
  overtopped: ['OW V ER T AA P T'],
  rangefinder: ['R EY N JH F AY N D ER'],
  sawlog: ['S AO L AO G'],
  sprig: ['S P R IH G'],
  tam: ['T AE M'],
  tamsin: ['T AE M Z IH N'],
  topo: ['T AA P OW', 'T OW P OW'],
  hornbeam: ['HH AO R N B IY M'],
  hophornbeam: ['HH AA P HH AO R N B IY M'],
  mockernut: ['M AA K ER N AH T'],
  bitternut: ['B IH T ER N AH T'],
  butternut: ['B AH T ER N AH T'],
  shellbark: ['SH EH L B AA R K'],
  musclewood: ['M AH S AH L W UH D'],
  moosewood: ['M UW S W UH D'],
  sourwood: ['S AW ER W UH D'],
  sugarberry: ['SH UH G ER B EH R IY'],
  persimmon: ['P ER S IH M AH N'],
  honeylocust: ['HH AH N IY L OW K AH S T'],
  coffeetree: ['K AO F IY T R IY'],
  tanoak: ['T AE N OW K'],
  cucumbertree: ['K Y UW K AH M B ER T R IY'],
  sweetbay: ['S W IY T B EY'],
  cherrybark: ['CH EH R IY B AA R K'],
  overcup: ['OW V ER K AH P'],
  chinkapin: ['CH IH NG K AH P IH N'],
  whitebark: ['W AY T B AA R K'],
  madrone: ['M AH D R OW N'],
  catalpa: ['K AH T AE L P AH'],
  sessile: ['S EH S AH L'],
  wych: ['W IH CH'],
  leaved: ['L IY V D'],
  baf: ['B AE F'],
  ailanthus: ['EY L AE N TH AH S'],
  broadleaf: ['B R AO D L IY F'],
  pedunculate: ['P AH D AH NG K Y AH L AH T'],
  horsechestnut: ['HH AO R S CH EH S N AH T'],
};

const idOf: ReadonlyMap<string, number> = new Map(phones.map((phone, id) => [phone, id]));
const idOfCode: ReadonlyMap<string, number> = new Map([...phoneCodes].map((code, id) => [code, id]));

/** Phones written as ARPAbet (`"F ER"`, stress digits ignored) as ids. Throws on an unknown phone. */
export function phonesOf(arpabet: string): Pronunciation {
  return Uint8Array.from(arpabet.trim().split(/\s+/), (phone) => {
    const id = idOf.get(phone.replace(/\d/, ''));
    if (id === undefined || id === 0) throw new Error(`not an ARPAbet phone: "${phone}" in "${arpabet}"`);
    return id;
  });
}

const endings = [
  ["'s", ''],
  ['ies', 'y'],
  ['s', ''],
  ['es', ''],
] as const;
const sibilants = new Set('S Z SH ZH CH JH'.split(' '));
const voiceless = new Set('P T K F TH'.split(' '));

const decode = (codes: string): Pronunciation =>
  Uint8Array.from(codes, (code) => required(idOfCode.get(code), 'the phone of a code'));

/** How words sound. Immutable: `withWords` gives a new one. */
export interface Lexicon {
  /** Every word with a written pronunciation, sorted. */
  readonly words: readonly string[];
  /** True when the word's pronunciation is written, not guessed from its letters. */
  has(word: string): boolean;
  /** All pronunciations of a lower-case word, the usual one first; empty only for a word without letters. */
  pronounce(word: string): readonly Pronunciation[];
  /** The same lexicon with more words; values are ARPAbet, none means: from the letters. */
  withWords(words: Readonly<Record<string, readonly string[]>>): Lexicon;
}

class WordSounds implements Lexicon {
  readonly words: readonly string[];
  private readonly known = new Map<string, readonly Pronunciation[]>();
  private readonly guessed = new Map<string, readonly Pronunciation[]>();

  constructor(private readonly extra: Readonly<Record<string, readonly string[]>>) {
    this.words = [
      ...new Set([...Object.keys(coded), ...Object.keys(tradeWords), ...Object.keys(extra)]),
    ].sort();
  }

  has(word: string): boolean {
    return this.written(word) !== undefined;
  }

  pronounce(word: string): readonly Pronunciation[] {
    const written = this.written(word);
    if (written !== undefined) return written;
    let guess = this.guessed.get(word);
    if (guess === undefined) {
      guess =
        this.inflected(word) ??
        (/[aeiouy]/.test(word) ? [decode(phonesOfSpelling(word))] : this.spelled(word));
      if (this.guessed.size > 2000) this.guessed.clear();
      this.guessed.set(word, guess);
    }
    return guess;
  }

  withWords(words: Readonly<Record<string, readonly string[]>>): Lexicon {
    return new WordSounds({ ...this.extra, ...words });
  }

  /** The plural or possessive of a word with a written pronunciation, by the rule of English. */
  private inflected(word: string): readonly Pronunciation[] | undefined {
    for (const [ending, instead] of endings) {
      if (!word.endsWith(ending)) continue;
      const sounds = this.written(word.slice(0, -ending.length) + instead);
      if (sounds !== undefined && word.length > ending.length + 1)
        return sounds.map((sound) => {
          const last = phones[lastOf(sound)]!;
          const plural = sibilants.has(last) ? 'IH Z' : voiceless.has(last) ? 'S' : 'Z';
          return Uint8Array.from([...sound, ...phonesOf(plural)]);
        });
    }
    return undefined;
  }

  /** An abbreviation, letter by letter; a last s may be a plural's. */
  private spelled(word: string): readonly Pronunciation[] {
    const letters = [...word.replace(/[^a-z]/g, '')].map((letter) => lastOf(this.pronounce(letter)));
    if (letters.length === 0) return [];
    const join = (sounds: readonly Pronunciation[]) => Uint8Array.from(sounds.flatMap((sound) => [...sound]));
    if (!/..s$/.test(word)) return [join(letters)];
    return [join([...letters.slice(0, -1), phonesOf('Z')]), join(letters)];
  }

  private written(word: string): readonly Pronunciation[] | undefined {
    const cached = this.known.get(word);
    if (cached !== undefined) return cached;
    const byHand = own(this.extra, word) ?? own(tradeWords, word);
    const fromDictionary = own<string>(coded, word);
    let found: readonly Pronunciation[] | undefined;
    if (byHand !== undefined && byHand.length > 0) found = byHand.map(phonesOf);
    else if (fromDictionary !== undefined) found = fromDictionary.split(' ').map(decode);
    if (found !== undefined) this.known.set(word, found);
    return found;
  }
}

/** What stands under a word; "constructor" is a word like others, not what every object has. */
function own<T>(words: Readonly<Record<string, T>>, word: string): T | undefined {
  return Object.hasOwn(words, word) ? words[word] : undefined;
}

/** The lexicon that ships with the grammar. `createLexicon().pronounce('fir')` is one pronunciation, F ER. */
export function createLexicon(): Lexicon {
  return new WordSounds({});
}
