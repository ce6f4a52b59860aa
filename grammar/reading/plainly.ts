/**
 * Typed words in the description's own words: what is said otherwise is put in its place, what says nothing is left out,
 * and the rest is read word for word. Nothing that tells something is ever dropped, so what is read so is as sure as
 * what was read as it stood.
 */

import type { Candidate, Note } from '../../shared/note/note.ts';
import { normalise, withoutAccents } from '../description/normalise.ts';
import { ones, teens, tens } from '../description/numbers.ts';
import { emptyWords, leadIns, lightAdjectives, otherWords } from '../description/other-words/index.ts';
import type { OtherWords } from '../description/other-words/rows.ts';
import { people } from '../description/rules/names.ts';
import { hasLongName } from './another-look.ts';
import type { Reader } from './exact.ts';
import { tearing } from './torn-numbers.ts';

/** A number in words, as long as it goes: "twenty two point four", "eight and a half". */
const digit = `(?:${[...ones, ...teens, ...tens, 'zero', 'oh', 'hundred', 'thousand'].join('|')})`;
const number = `(?:(?:a (?=hundred))?${digit}(?: (?:and )?${digit})*?(?: point ${digit}(?: ${digit})*)?(?: and (?:an? |one )?(?:half|quarter|third|eighth)| and three quarters)?|point ${digit}(?: ${digit})*)(?! ${digit}| point ${digit})`;

const betweenNumbers = new RegExp(`(?<=^| )${digit} and ${digit}(?= |,|$)`);

/** Characters of a note that are looked at: patterns over long texts would take long, and nobody types more. */
const mostTyped = 240;

interface Row {
  readonly pattern: RegExp;
  readonly instead: string;
  /** It takes a name, which is written with a capital. */
  readonly named: boolean;
  /** Letters without which it never fits; empty where none are sure. */
  readonly needs: string;
}

/**
 * Letters that stand in every text which a pattern fits: the longest run outside of its groups, classes and options.
 * `lettersNeeded('^(?:a|the) plots? number')` is "number".
 */
function lettersNeeded(pattern: string): string {
  let flat = pattern.replace(/\\./g, '·').replace(/\[[^\]]*\]/g, '·');
  for (let before = ''; before !== flat; ) {
    before = flat;
    flat = flat.replace(/\([^()]*\)/g, '·');
  }
  if (flat.includes('|')) return '';
  const runs = flat.replace(/.[?*{]/g, '·').match(/[a-z ]+/g) ?? [];
  return runs
    .map((run) => run.trim())
    .reduce((longest, run) => (run.length > longest.length ? run : longest), '');
}

/** A pattern between the borders of words; `^` and `$` are those of a clause. `known`: words of the description. */
function rowOf([pattern, instead]: OtherWords[number], known: string): Row {
  let from = '(?<=^| )';
  // What ends in a space has its border there.
  let to = '(?:(?=,| |$)|(?<= ))';
  let source = pattern;
  if (source.startsWith('^')) {
    from = '(?<=^|, |and |then )';
    source = source.slice(1);
  } else if (/^(\(\?:)? /.test(source)) from = '';
  if (source.endsWith('$')) {
    to = '(?=,|$)';
    source = source.slice(0, -1);
  }
  const behind = /\(\?[=!](?:[^()]|\([^()]*\))*\)$/.exec(source);
  if (behind !== null) {
    source = source.slice(0, behind.index);
    to += behind[0];
  }
  const made = `${from}(?:${source})${to}`
    .replaceAll('(?=#', `(?=${number}`)
    .replaceAll('(?<=#', `(?<=${number}`)
    .replaceAll('#', `(${number})`)
    .replaceAll('@', "([a-z][a-z']*)")
    .replaceAll('~', `(${known}[a-z][a-z]+)`)
    .replaceAll('%', `(${known}(?!${nobody})[a-z][a-z]+)`);
  return {
    pattern: new RegExp(made, 'g'),
    instead,
    named: pattern.includes('%'),
    needs: lettersNeeded(pattern),
  };
}

/** Words before "here" and "again" that are no person. */
const nobody =
  '(?:nobody|anybody|somebody|everybody|anyone|someone|everyone|nothing|something|anything|dog|bear|deer|[a-z]+ing)(?= )';

const leftOut = (words: readonly string[]): RegExp =>
  new RegExp(`(?<=^| )(?:${[...words].sort((a, b) => b.length - a.length).join('|')})(?=,| |$)`, 'g');
const lead = leftOut(leadIns);
const empty = leftOut(emptyWords);
const light = leftOut([...emptyWords, ...lightAdjectives]);

const tidied = (words: string): string =>
  words
    .replace(/ ?,(?: ?,)*/g, ',')
    .replace(/ +/g, ' ')
    .replace(/^[ ,]+|[ ,]+$/g, '');

/** A bare number or a pick is what any mess leaves over. */
const neverAlone: ReadonlySet<Note['kind']> = new Set(['number', 'pick']);
/** Kept only where no more than empty words were left out. */
const needsOwnWords: ReadonlySet<Note['kind']> = new Set([
  'answer',
  'scratch',
  'undo',
  'restore',
  'control',
  'again',
  'next',
  'call',
]);

/** Behind this word stands what is kept as it was said. */
const textBehind = /(?<=^|, )(?:remark|note|call) .*$/;

/** Signs that nobody types among words are no note in short forms. */
export const isTyped = (text: string): boolean =>
  text.length <= mostTyped &&
  /^(?:[\p{Script=Latin}0-9 \t\r\n.,;:'"’”“°²³$½¼¾/=?!()&+×~#–—-]|\d ?%|, ?%)*$/iu.test(withoutAccents(text));

/** Reads typed words in the description's own words. */
export class PlainReader {
  private readonly rows: readonly Row[];
  private readonly known: ReadonlySet<string>;

  constructor(private readonly reader: Reader) {
    const words = reader.automaton.words.filter((word) => !people.includes(word) || word === 'rowan');
    this.known = new Set(words);
    const all = words.filter((word) => /^[a-z']+$/.test(word)).join('|');
    const known = `(?!(?:${all})(?=,| |$))`;
    this.rows = otherWords.map((row) => rowOf(row, known));
  }

  /** Canonical words in the description's own: "ba" is "basal area". `names`: words that were written with a capital. */
  inOwnWords(words: string, names: ReadonlySet<string> = new Set()): string {
    if (words.length > 2 * mostTyped) return words;
    let said = words.replace(/(?<=^| )([a-z']+)'s(?=,| |$)/g, (whole, noun: string) =>
      this.known.has(whole) ? whole : `${noun} is`,
    );
    let text = '';
    let looked: string | undefined;
    // What is kept as it was said is put aside as soon as it stands there.
    const putAside = (): void => {
      if (looked === said) return;
      const behind = textBehind.exec(said);
      if (behind !== null) {
        text = `${behind[0]}${text === '' ? '' : ` ${text}`}`;
        said = said.slice(0, behind.index);
      }
      looked = said;
    };
    for (const { pattern, instead, named, needs } of this.rows) {
      putAside();
      if (needs !== '' && !said.includes(needs)) continue;
      said = named
        ? said.replace(pattern, (whole, ...found) =>
            found.every((one) => typeof one !== 'string' || !/^[a-z]+$/.test(one) || names.has(one))
              ? instead.replace(/\$(\d)/g, (_, at) => String(found[Number(at) - 1] ?? ''))
              : whole,
          )
        : said.replace(pattern, instead);
    }
    putAside();
    return tidied(text === '' ? said : `${tidied(said)}, ${text}`);
  }

  /**
   * What typed words mean once they are said plainly; undefined where that is nothing.
   *
   * "okay, a nice red oak here, dbh 14" is read as "red oak, dbh fourteen".
   */
  read(text: string): readonly Candidate[] | undefined {
    if (!isTyped(text)) return undefined;
    // A colon parts a name from what is told of it, as a comma does.
    return (
      this.readWith(text) ?? (/:(?!\d)/.test(text) ? this.readWith(text.replace(/:(?!\d)/g, ',')) : undefined)
    );
  }

  private readWith(text: string): readonly Candidate[] | undefined {
    const names = new Set((text.match(/\b[A-Z][a-z]+/g) ?? []).map((name) => name.toLowerCase()));
    const said = normalise(text);
    const tears = tearing(text);
    const own = this.inOwnWords(said, names);
    // Mostly nothing is left out.
    const ownOf = (words: string): string => (words === said ? own : this.inOwnWords(words, names));
    const asked = tidied(ownOf(tidied(said.replace(lead, ''))));
    const plain = tidied(ownOf(tidied(said.replace(empty, ''))).replace(empty, ''));
    // "The scarlet one" is no tree of one inch.
    const bare = pronoun.test(said) ? '' : tidied(plain.replace(light, ''));
    for (const [at, words] of [own, asked, plain, bare].entries()) {
      if (words === '') return undefined;
      // Between two numbers "and" is no border of notes: "nine and eight inches" are not 9.8.
      const parted = betweenNumbers.test(words) ? words : words.replace(/ and (?=[a-z])/g, ', ');
      for (const variant of new Set([words, parted])) {
        const read = this.reader.read(variant);
        if (!read.ok || read.value.some(({ notes }) => tears?.(notes) === true)) continue;
        const led = at < 2 && variant === words;
        const few = variant.split(' ').length < 3;
        // One word is left of "so long", and of "now a beech": there the article tells.
        if (!led && !variant.includes(' ') && !/(?<=^| )an? /.test(said)) continue;
        if (
          read.value.every(({ notes }) =>
            notes.every((note) => isTold(note) && (led || tellsEnough(note, few))),
          )
        )
          return read.value;
      }
    }
    return undefined;
  }

  /** Typed words in canonical form, said in the description's own words where a person may have typed them. */
  asTyped(text: string): string {
    const said = normalise(text);
    return isTyped(text) ? this.inOwnWords(said) : said;
  }
}

const pronoun =
  /(?:^| )(?:the|that|this|an?|another) (?:[a-z']+ )?one(?= |,|$)(?! (?:log|and|hundred|point|inch|foot))/;

/** Beside words that were left out, a note of few words must say something of the wood. */
const tellsEnough = (note: Note, few: boolean): boolean =>
  !needsOwnWords.has(note.kind) && !(few && (note.kind === 'ask' || note.kind === 'setting'));

/** No bare number, and no name of many words: that is what any mess leaves over. */
function isTold(note: Note): boolean {
  if (neverAlone.has(note.kind)) return false;
  return !hasLongName(note);
}
