/**
 * Typed words as pieces that mean something by themselves: numbers with their units, names of species, marks and
 * devices, words of which it is known what they speak of, and the rest. Names come from the description, so what a user
 * teaches is among them.
 */

import { asWritten } from '../description/normalise.ts';
import {
  type Concept,
  conceptPhrases,
  passedOver,
  shortColours,
  shortSpecies,
  typedMarks,
} from '../description/other-words/concepts.ts';
import { namesOf } from '../description/spelled-names.ts';
import type { Syntax } from '../description/syntax.ts';
import { numberAt, type Quantity, sidesAt, type Token } from './said-numbers.ts';
import { isAdjective, isPointOf, isPronoun, isVerb, letterAt } from './token-senses.ts';
import { tokensOf } from './tokens.ts';

export interface SaidPiece {
  readonly is: 'number' | 'species' | 'mark' | 'ordinal' | 'words' | 'break';
  /** As it is repeated. */
  readonly text: string;
  /** A word as it was written, in lower case, where that has accents. */
  readonly name?: string;
  readonly number?: Quantity;
  readonly species?: string | number;
  /** More than one of them. */
  readonly many?: boolean;
  readonly mark?: string;
  readonly ordinal?: number;
  readonly concepts: ReadonlySet<Concept>;
  /** Carries nothing by itself. */
  readonly light: boolean;
  /** Written with a capital, or behind a word that is. */
  readonly capital: boolean;
  /** Nobody here knows it. */
  readonly unknown: boolean;
}

export interface Pieces {
  readonly pieces: readonly SaidPiece[];
  readonly asked: boolean;
}

const none: ReadonlySet<Concept> = new Set();
const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** What a phrase stands for. */
interface Meant {
  species?: string | number;
  many?: boolean;
  mark?: string;
  concepts?: Set<Concept>;
}

interface Branch {
  readonly next: Map<string, Branch>;
  meant?: Meant;
}

/** Reads typed text into pieces. */
export class PieceReader {
  private readonly root: Branch = { next: new Map() };

  /** `known`: words of the description. */
  constructor(
    trees: Syntax,
    private readonly known: ReadonlySet<string>,
  ) {
    for (const [concept, phrases] of conceptPhrases)
      for (const phrase of phrases) {
        const meant = this.meantBy(phrase.split(' '));
        meant.concepts ??= new Set();
        meant.concepts.add(concept);
      }
    for (const { words, value } of namesOf(trees.tree.get('mark')))
      if (value !== 'sound') this.meantBy(words).mark = String(value);
    for (const [mark, said] of typedMarks)
      for (const phrase of said.split('|')) this.meantBy(phrase.split(' ')).mark = mark;
    const singular = new Map<string, string | number>();
    for (const { words, value } of namesOf(trees.tree.get('species'))) {
      const meant = this.meantBy(words);
      meant.species = value;
      singular.set(words.join(' '), value);
      // "The oaks", "two pines": names that nobody counts are counted here all the same.
      const last = words[words.length - 1]!;
      const many = this.meantBy([...words.slice(0, -1), `${last}s`]);
      if (many.species === undefined) {
        many.species = value;
        many.many = true;
      }
    }
    for (const [name] of singular) {
      const one = name
        .replace(/ies$/, 'y')
        .replace(/(ch|sh|x)es$/, '$1')
        .replace(/s$/, '');
      if (one !== name && singular.has(one)) this.meantBy(name.split(' ')).many = true;
    }
  }

  private meantBy(words: readonly string[]): Meant {
    let branch = this.root;
    for (const word of words) {
      let next = branch.next.get(word);
      if (next === undefined) {
        next = { next: new Map() };
        branch.next.set(word, next);
      }
      branch = next;
    }
    branch.meant ??= {};
    return branch.meant;
  }

  private longest(tokens: readonly Token[], from: number): { to: number; meant: Meant } | undefined {
    let branch = this.root;
    let found: { to: number; meant: Meant } | undefined;
    for (let at = from; at < tokens.length; at++) {
      const next = branch.next.get(tokens[at]!.text);
      if (next === undefined) return found;
      branch = next;
      if (branch.meant !== undefined) found = { to: at + 1, meant: branch.meant };
    }
    return found;
  }

  read(text: string): Pieces {
    const tokens = tokensOf(asWritten(text));
    const pieces: SaidPiece[] = [];
    let asked = false;
    for (let at = 0; at < tokens.length; ) {
      const { text: word } = tokens[at]!;
      if (/^[,;:.?!()/^~#]$/.test(word) || word === 'and' || word === 'then') {
        if (word === '?') asked = true;
        const last = pieces.at(-1);
        if (last !== undefined && last.is !== 'break') pieces.push(breakOf(word));
        at++;
        continue;
      }
      const piece = this.pieceAt(tokens, at);
      pieces.push(piece.piece);
      at = piece.to;
    }
    while (pieces.at(-1)?.is === 'break') pieces.pop();
    const qualified = withNegations(this.qualified(pieces));
    return {
      pieces: qualified.map((piece, at) => (isVerdict(qualified, at) ? { ...piece, light: false } : piece)),
      asked,
    };
  }

  /** "Oak, fifty two, sessile", "cedar, western red": what a clause of its own adds to a name before it. */
  private qualified(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
    const all = [...pieces];
    let name = -1;
    for (let from = 0; from < all.length; from++) {
      if (name >= 0 && all[from - 1]?.is === 'break') {
        const end = all.findIndex(({ is }, at) => at >= from && is === 'break');
        const to = end < 0 ? all.length : end;
        const clause = all.slice(from, to).filter(({ light }) => !light);
        const whole = this.nameOf(clause, all[name]!);
        if (whole !== undefined) {
          all[name] = { ...all[name]!, species: whole };
          for (let at = from; at < to; at++)
            all[at] = { ...all[at]!, is: 'words', light: true, unknown: false };
        }
      }
      if (all[from]!.is === 'species') name = from;
    }
    return all;
  }

  /** The name that some words make with one behind them. */
  private nameOf(clause: readonly SaidPiece[], name: SaidPiece): string | number | undefined {
    if (clause.length === 0 || clause.length > 3) return undefined;
    if (clause.some(({ is, concepts }) => (is !== 'words' && is !== 'species') || concepts.size > 0))
      return undefined;
    const words = clause.map(({ text }) => text).join(' ');
    if (words === name.text) return undefined;
    return [`${words} ${name.text}`, `${words}${name.text}`].flatMap((text) => {
      const tokens = text.split(' ').map((word) => ({ text: word, capital: false, touches: false }));
      const found = this.longest(tokens, 0);
      return found?.to === tokens.length && found.meant.species !== undefined ? [found.meant.species] : [];
    })[0];
  }

  private pieceAt(tokens: readonly Token[], at: number): { piece: SaidPiece; to: number } {
    const { capital } = tokens[at]!;
    const made = this.shortAt(tokens, at) ??
      this.numberPiece(tokens, at) ??
      this.phraseAt(tokens, at) ?? {
        piece: this.wordAt(tokens, at),
        to: at + 1,
      };
    return { piece: { concepts: none, light: false, capital, unknown: false, ...made.piece }, to: made.to };
  }

  /** "No. 3", "2nd", a species in two letters before its diameter. */
  private shortAt(tokens: readonly Token[], at: number): Found | undefined {
    const { text: word, value } = tokens[at]!;
    const next = tokens[at + 1];
    if (word === 'no' && next?.text === '.' && tokens[at + 2]?.value !== undefined)
      return { piece: { is: 'words', text: 'number', concepts: new Set(['tree']) }, to: at + 2 };
    if (/^(?:t|tr)$/.test(word) && next?.value !== undefined && (next.touches || word === 'tr'))
      return { piece: { is: 'words', text: 'tree', concepts: new Set(['tree']) }, to: at + 1 };
    if (value !== undefined && next?.touches === true && /^(?:st|nd|rd|th)$/.test(next.text))
      return {
        piece: { is: 'ordinal', text: ordinals[value - 1] ?? String(value), ordinal: value },
        to: at + 2,
      };
    const lettered = letterAt(tokens, at);
    if (lettered !== undefined) return { piece: lettered, to: at + 1 };
    // "S3", "P7": a plot; "T4": a tree.
    const begins = at === 0 || /^[,;:.?!()]$|^(?:and|then)$/.test(tokens[at - 1]!.text);
    if (begins && /^[pst]$/.test(word) && next?.touches === true && Number.isInteger(next.value))
      return word === 't'
        ? { piece: { is: 'words', text: 'tree', concepts: new Set(['tree']) }, to: at + 1 }
        : { piece: { is: 'words', text: 'plot', concepts: new Set(['plot']) }, to: at + 1 };
    const sized =
      next?.value !== undefined && /^(?:in|cm|undefined)$/.test(String(numberAt(tokens, at + 1)?.unit));
    // "And so 3 logs": a word of the language too.
    const isWord = /^(?:so|be)$/.test(word) && !/^[,;:.?!]?$/.test(tokens[at - 1]?.text ?? '');
    const coloured = this.shortColour(tokens, at);
    if (coloured !== undefined) return coloured;
    const name = (sized && !isWord) || isLone(tokens, at) ? shortSpecies.get(word) : undefined;
    if (name === undefined) return undefined;
    const spelled = name.split(' ').map((text) => ({ text, capital: false, touches: false }));
    const species = this.longest(spelled, 0)?.meant.species;
    return species === undefined ? undefined : { piece: { is: 'species', text: name, species }, to: at + 1 };
  }

  /** "Bl cherry": the first word of a name in short. */
  private shortColour(tokens: readonly Token[], at: number): Found | undefined {
    const text = shortColours.get(tokens[at]?.text ?? '');
    if (text === undefined) return undefined;
    const spelled = [{ text, capital: false, touches: false }, ...tokens.slice(at + 1, at + 3)];
    const found = this.longest(spelled, 0);
    const species = found?.meant.species;
    if (found === undefined || species === undefined || found.to < 2) return undefined;
    const name = spelled.slice(0, found.to).map((one) => one.text);
    return { piece: { is: 'species', text: name.join(' '), species }, to: at + found.to };
  }

  /** A number, where no longer phrase begins with it. */
  private numberPiece(tokens: readonly Token[], at: number): Found | undefined {
    const found =
      isPronoun(tokens, at) || isPointOf(tokens, at)
        ? undefined
        : (sidesAt(tokens, at) ?? numberAt(tokens, at));
    if (found === undefined || found.length < (this.longest(tokens, at)?.to ?? at) - at) return undefined;
    // "Paced thirty" is thirty paces.
    const walked = walkedUnits.get(tokens[at - 1]?.text ?? '');
    const number = found.unit === undefined && walked !== undefined ? { ...found, unit: walked } : found;
    const to = at + number.length;
    return { piece: { is: 'number', text: joined(tokens, at, to), number }, to };
  }

  /** The longest phrase that stands for something. */
  private phraseAt(tokens: readonly Token[], at: number): Found | undefined {
    const phrase = this.longest(tokens, at);
    if (phrase === undefined) return undefined;
    const { meant, to } = phrase;
    // "The first one's four logs": which one it is.
    if (to === at + 2 && ordinals.includes(tokens[at]!.text) && isVerb(tokens[to]?.text)) return undefined;
    const text = joined(tokens, at, to);
    const aside = meant.concepts?.size === 1 && meant.concepts.has('aside');
    const shared = {
      text,
      concepts: meant.concepts ?? none,
      light: aside || (to - at === 1 && passedOver.has(text)),
    };
    const ordinal = ordinals.indexOf(text) + 1;
    const { mark, many } = meant;
    const species = isAdjective(tokens, at, to) ? undefined : meant.species;
    if (species === undefined && meant.species !== undefined && mark === undefined)
      return { piece: { is: 'words', ...shared, light: shared.concepts.size === 0 }, to };
    if (species !== undefined)
      return { piece: { is: 'species', ...shared, species, ...(many === true ? { many } : {}) }, to };
    if (ordinal > 0) return { piece: { is: 'ordinal', ...shared, ordinal }, to };
    if (mark !== undefined) return { piece: { is: 'mark', ...shared, mark }, to };
    return { piece: { is: 'words', ...shared }, to };
  }

  private wordAt(tokens: readonly Token[], at: number): Found['piece'] {
    const { text, capital, name } = tokens[at]!;
    const ordinal = ordinals.indexOf(text) + 1;
    if (ordinal > 0) return { is: 'ordinal', text, ordinal };
    const known = this.known.has(text);
    // "Dead as a hammer" is dead.
    const like = /^an?$/.test(tokens[at - 1]?.text ?? '') && tokens[at - 2]?.text === 'as' && !known;
    // "Wren says": who said it.
    const says =
      capital &&
      !known &&
      /^(?:says|said|reckons|calls|called|thinks|tells)$/.test(tokens[at + 1]?.text ?? '');
    const light = like || says || passedOver.has(text) || text.startsWith("'") || /^[+="°%-]$/.test(text);
    return { is: 'words', text, ...(name === undefined ? {} : { name }), light, unknown: !light && !known };
  }
}

/** "Sorry, yb": nothing but a short name, as somebody answers. */
const isLone = (tokens: readonly Token[], at: number): boolean =>
  at === tokens.length - 1 &&
  !/^(?:so|be|hick)$/.test(tokens[at]!.text) &&
  tokens
    .slice(0, at)
    .every(({ text }) => /^(?:sorry|no|i|mean|meant|oops|it|is|was|that|'s|a|,|:|\.)$/.test(text));

/** A piece without what most have not, and where it ends. */
interface Found {
  readonly piece: Partial<SaidPiece> & Pick<SaidPiece, 'is' | 'text'>;
  readonly to: number;
}

const walkedUnits = new Map([
  ['paced', 'paces'],
  ['stepped', 'steps'],
] as const) as ReadonlyMap<string, 'paces' | 'steps'>;

const joined = (tokens: readonly Token[], from: number, to: number): string =>
  tokens
    .slice(from, to)
    .map(({ text }) => text)
    .join(' ');

/** "In" or "out" as a clause of its own tells that the tree counts, or does not. */
const isVerdict = (pieces: readonly SaidPiece[], at: number): boolean =>
  /^(?:in|out)$/.test(pieces[at]!.text) &&
  at > 0 &&
  pieces[at - 1]!.is === 'break' &&
  (pieces[at + 1]?.is ?? 'break') === 'break';

/** "Not stripped": what a tree has not is told as one thing. */
function withNegations(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  const all: SaidPiece[] = [];
  for (const piece of pieces) {
    const before = all.at(-1);
    if (before?.concepts.has('not') === true && piece.concepts.has('condition'))
      all[all.length - 1] = { ...piece, text: `${before.text} ${piece.text}` };
    else all.push(piece);
  }
  return all;
}

const breakOf = (text: string): SaidPiece => ({
  is: 'break',
  text: text === 'and' || text === ':' ? text : /^(?:then|[.;?!])$/.test(text) ? ';' : ',',
  concepts: none,
  light: true,
  capital: false,
  unknown: false,
});
