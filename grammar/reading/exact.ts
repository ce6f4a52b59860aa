/**
 * The exact reader: text to every note that it means word for word, best first, or a failure that says what was
 * expected. Plain lower-case text is read without a copy; anything else goes through `normalise` first.
 */

import { err, ok, type Result } from '../../shared/core/result.ts';
import type { Note } from '../../shared/note/note.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import type { Automaton } from '../automaton/automaton.ts';
import { Meaning, type Outside, sameMeaning } from '../automaton/meaning.ts';
import type { Span } from '../automaton/spans.ts';
import { spansOf } from '../automaton/spans.ts';
import { normalise } from '../description/normalise.ts';
import { Expectations, failureOf, outsideFailure } from './failure.ts';
import type { ReadFailure, Reading } from './reading.ts';

/** The most words that one note may have. */
export const longestNote = 120;
/** The most ways in which one utterance is read; nobody means more. */
const mostReadings = 64;
/** Steps after which the search looks ahead instead of trying. */
const plainSteps = 4000;

export interface Reader {
  readonly automaton: Automaton;
  /** Reads typed or recognised text. Readings are sorted, best first; posteriors are equal shares. */
  read(text: string): Result<readonly Reading[], ReadFailure>;
}

/** The reader of an automaton. Its tables take some milliseconds to build: make one and keep it. */
export function createReader(automaton: Automaton): Reader {
  return new ExactReader(automaton);
}

class ExactReader implements Reader {
  private readonly meaning: Meaning;
  private readonly expectations: Expectations;
  // Vocabulary: open addressing over a hash of the char codes.
  private readonly wordSlots: Int32Array;
  private readonly wordChars: Uint16Array;
  private readonly wordFrom: Int32Array;
  private readonly unknown: number;
  // First arc of (state, word): open addressing.
  private readonly arcKeys: Int32Array;
  private readonly arcFirst: Int32Array;
  private readonly arcMask: number;
  // The utterance in hand.
  private readonly word = new Int32Array(longestNote + 1);
  private readonly from = new Int32Array(longestNote + 1);
  private readonly to = new Int32Array(longestNote + 1);
  private readonly path = new Int32Array(longestNote + 1);
  /** Words with a comma before them. */
  private readonly comma = new Uint8Array(longestNote + 1);
  private commas = 0;
  private stackArc = new Int32Array(1024);
  private stackAt = new Int32Array(1024);
  // The note whose spans are wanted, by its key, and the spans.
  private spansFor: string | undefined;
  private spans: readonly Span[] = [];
  // A number that kept a reading from being one.
  private outside: Outside | undefined;
  /**
   * Commas inside numbers and names, then commas inside phrases, then free words, then numbers of the best path so
   * far. Fewer are meant: "forty seven" is one number, not a forty and a seven; "forty, seven" is two.
   */
  private bestRank = 0;

  constructor(readonly automaton: Automaton) {
    this.meaning = new Meaning(automaton.tagSequences);
    this.expectations = new Expectations(automaton);
    const { words } = automaton;
    this.unknown = words.length;
    let size = 64;
    while (size < words.length * 4) size *= 2;
    this.wordSlots = new Int32Array(size);
    this.wordFrom = new Int32Array(words.length + 1);
    const chars: number[] = [];
    words.forEach((word, id) => {
      this.wordFrom[id] = chars.length;
      for (let i = 0; i < word.length; i++) chars.push(word.charCodeAt(i));
      if (id === 0) return;
      let hash = 0;
      for (let i = 0; i < word.length; i++) hash = (Math.imul(hash, 31) + word.charCodeAt(i)) | 0;
      let slot = spread(hash) & (size - 1);
      while (this.wordSlots[slot] !== 0) slot = (slot + 1) & (size - 1);
      this.wordSlots[slot] = id;
    });
    this.wordFrom[words.length] = chars.length;
    this.wordChars = Uint16Array.from(chars);

    const { arcFrom, arcWord, states } = automaton;
    let pairs = 0;
    for (let state = 0; state < states; state++) {
      for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) {
        if (arc === arcFrom[state] || arcWord[arc] !== arcWord[arc - 1]) pairs++;
      }
    }
    let arcSize = 64;
    while (arcSize < pairs * 2) arcSize *= 2;
    this.arcMask = arcSize - 1;
    this.arcKeys = new Int32Array(arcSize).fill(-1);
    this.arcFirst = new Int32Array(arcSize);
    for (let state = 0; state < states; state++) {
      for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) {
        if (arc !== arcFrom[state] && arcWord[arc] === arcWord[arc - 1]) continue;
        const key = state * (this.unknown + 1) + arcWord[arc]!;
        let slot = spread(key) & this.arcMask;
        while (this.arcKeys[slot] !== -1) slot = (slot + 1) & this.arcMask;
        this.arcKeys[slot] = key;
        this.arcFirst[slot] = arc;
      }
    }
  }

  read(text: string): Result<readonly Reading[], ReadFailure> {
    let plain = text;
    let count = this.scan(plain);
    if (count === -1) {
      plain = normalise(text);
      count = this.scan(plain);
    }
    if (count <= 0 || count > longestNote)
      return err(failureOf(count === 0 || count === -1 ? 'empty' : 'tooLong', [], 0, []));
    return this.search(plain, count);
  }

  /** Splits plain text into word ids; the number of words, -1 when the text is not plain. */
  private scan(text: string): number {
    const { wordSlots, wordFrom, wordChars } = this;
    const mask = wordSlots.length - 1;
    const length = text.length;
    let count = 0;
    let at = 0;
    let comma = 0;
    this.commas = 0;
    while (at < length) {
      let code = text.charCodeAt(at);
      if (code === 32 || code === 44) {
        if (code === 44 && count > 0) comma = 1;
        at++;
        continue;
      }
      const start = at;
      let hash = 0;
      while (code >= 97 && code <= 122) {
        hash = (Math.imul(hash, 31) + code) | 0;
        at++;
        if (at === length) break;
        code = text.charCodeAt(at);
      }
      if (at < length && code !== 32 && code !== 44) {
        // An apostrophe between letters belongs to the word; everything else is for normalise.
        if (code !== 39 || at === start || at + 1 >= length || !isLetter(text.charCodeAt(at + 1))) return -1;
        hash = (Math.imul(hash, 31) + 39) | 0;
        at++;
        for (; at < length && isLetter(text.charCodeAt(at)); at++) {
          hash = (Math.imul(hash, 31) + text.charCodeAt(at)) | 0;
        }
        if (at < length && text.charCodeAt(at) !== 32 && text.charCodeAt(at) !== 44) return -1;
      }
      if (count === longestNote) return longestNote + 1;
      let found = this.unknown;
      for (let slot = spread(hash) & mask; ; slot = (slot + 1) & mask) {
        const id = wordSlots[slot]!;
        if (id === 0) break;
        let char = wordFrom[id]!;
        if (wordFrom[id + 1]! - char !== at - start) continue;
        let i = start;
        while (i < at && wordChars[char] === text.charCodeAt(i)) {
          i++;
          char++;
        }
        if (i === at) {
          found = id;
          break;
        }
      }
      this.word[count] = found;
      this.comma[count] = comma;
      this.commas += comma;
      comma = 0;
      this.from[count] = start;
      this.to[count] = at;
      count++;
    }
    return count;
  }

  private firstArc(state: number, word: number): number {
    const key = state * (this.unknown + 1) + word;
    for (let slot = spread(key) & this.arcMask; ; slot = (slot + 1) & this.arcMask) {
      const found = this.arcKeys[slot];
      if (found === key) return this.arcFirst[slot]!;
      if (found === -1) return -1;
    }
  }

  /** Depth first over all paths; known words before free ones. */
  private search(text: string, count: number): Result<readonly Reading[], ReadFailure> {
    const { automaton, path } = this;
    const { arcFrom, arcTo, arcWord, finalFrom } = automaton;
    let state = automaton.start;
    let at = 0;
    let stacked = 0;
    let steps = 0;
    let alive: Uint8Array | undefined;
    this.outside = undefined;
    const found: ExactReading[] = [];
    this.bestRank = Number.POSITIVE_INFINITY;
    for (;;) {
      let next = -1;
      if (at < count) {
        if (++steps === plainSteps) alive = this.lookAhead(count);
        const word = this.word[at]!;
        const last = arcFrom[state + 1]!;
        // Free words are tried after the word itself, so they are stacked below it.
        for (let arc = arcFrom[state]!; arc < last && arcWord[arc] === 0; arc++) {
          if (alive !== undefined && alive[(at + 1) * automaton.states + arcTo[arc]!] === 0) continue;
          if (next >= 0) stacked = this.push(stacked, next, at);
          next = arc;
        }
        if (word !== this.unknown) {
          const first = this.firstArc(state, word);
          for (let arc = first; arc >= 0 && arc < last && arcWord[arc] === word; arc++) {
            if (alive !== undefined && alive[(at + 1) * automaton.states + arcTo[arc]!] === 0) continue;
            if (next >= 0) stacked = this.push(stacked, next, at);
            next = arc;
          }
        }
      } else if (finalFrom[state + 1]! > finalFrom[state]!) {
        this.accept(text, count, state, found);
        if (found.length >= mostReadings) break;
      }
      if (next < 0) {
        if (stacked === 0) break;
        stacked--;
        next = this.stackArc[stacked]!;
        at = this.stackAt[stacked]!;
      }
      path[at] = next;
      state = arcTo[next]!;
      at++;
    }
    if (found.length > 0) return ok(found.length === 1 ? found : settle(found));
    return err(this.failure(text, count));
  }

  /** Follows all paths at once to where the last of them ends. */
  private failure(text: string, count: number): ReadFailure {
    const { automaton, outside } = this;
    if (outside !== undefined) return outsideFailure(outside);
    const { arcFrom, arcTo, arcWord } = automaton;
    let states = new Set([automaton.start]);
    let at = 0;
    for (; at < count; at++) {
      const next = new Set<number>();
      for (const state of states) {
        for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) {
          if (arcWord[arc] === 0 || arcWord[arc] === this.word[at]) next.add(arcTo[arc]!);
        }
      }
      if (next.size === 0) break;
      states = next;
    }
    const words = this.wordsOf(text, count);
    return failureOf(
      at === count ? 'incomplete' : 'unreadable',
      words,
      at,
      this.expectations.at([...states]),
    );
  }

  private push(stacked: number, arc: number, at: number): number {
    if (stacked === this.stackArc.length) {
      const arcs = new Int32Array(stacked * 2);
      arcs.set(this.stackArc);
      this.stackArc = arcs;
      const ats = new Int32Array(stacked * 2);
      ats.set(this.stackAt);
      this.stackAt = ats;
    }
    this.stackArc[stacked] = arc;
    this.stackAt[stacked] = at;
    return stacked + 1;
  }

  /** Which states at which word can still reach the end: makes the search linear where trying would not be. */
  private lookAhead(count: number): Uint8Array {
    const { automaton } = this;
    const { states, arcFrom, arcTo, arcWord, finalFrom } = automaton;
    const alive = new Uint8Array((count + 1) * states);
    for (let state = 0; state < states; state++) {
      if (finalFrom[state + 1]! > finalFrom[state]!) alive[count * states + state] = 1;
    }
    for (let at = count - 1; at >= 0; at--) {
      for (let state = 0; state < states; state++) {
        for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) {
          if (arcWord[arc] !== 0 && arcWord[arc] !== this.word[at]) continue;
          if (alive[(at + 1) * states + arcTo[arc]!] === 0) continue;
          alive[at * states + state] = 1;
          break;
        }
      }
    }
    return alive;
  }

  private accept(text: string, count: number, state: number, found: ExactReading[]): void {
    const { automaton, meaning, path } = this;
    const { arcTags, arcWord, finalFrom, finalTags, tagsBefore } = automaton;
    for (let final = finalFrom[state]!; final < finalFrom[state + 1]!; final++) {
      meaning.begin();
      let freeAt = -1;
      let free = '';
      let freeCount = 0;
      let crossed = 0;
      let inPhrase = 0;
      for (let i = 0; i < count; i++) {
        const arc = path[i]!;
        if (this.commas > 0 && this.comma[i] === 1) {
          if (freeAt >= 0 && arcWord[arc] === 0) crossed++;
          // Nothing was done when the word before was said, and nothing is before this one: both are one phrase.
          const last = i > 0 ? arcTags[path[i - 1]!]! : 0;
          const done = automaton.tagSequences[last]!.length - (tagsBefore?.[last] ?? 0);
          if (i > 0 && done === 0 && (tagsBefore?.[arcTags[arc]!] ?? 0) === 0) inPhrase++;
          meaning.part();
        }
        if (arcWord[arc] === 0) {
          freeCount++;
          meaning.run(arcTags[arc]!, free);
          if (freeAt < 0) freeAt = i;
        } else {
          if (freeAt >= 0) {
            free = this.free(text, freeAt, i);
            freeAt = -1;
          }
          meaning.run(arcTags[arc]!, free);
        }
      }
      if (freeAt >= 0) free = this.free(text, freeAt, count);
      meaning.run(finalTags[final]!, free);
      const note = meaning.end();
      if (meaning.outside !== undefined) {
        this.outside = meaning.outside;
        continue;
      }
      if (this.spansFor !== undefined && noteKey(note) === this.spansFor) {
        this.spans = spansOf(automaton, path.slice(0, count), finalTags[final]!);
      }
      const rank =
        (((crossed + meaning.crossed) * 1000 + inPhrase) * 1000 + freeCount) * 1000 + meaning.numbers;
      if (rank > this.bestRank) continue;
      if (rank < this.bestRank) found.length = 0;
      this.bestRank = rank;
      // Two paths that say the same ("feet" alone, "feet" before inches left out) are one reading.
      if (found.some((reading) => sameMeaning(reading.note, note))) continue;
      found.push(new ExactReading(this, note, this.joined(text, 0, count)));
    }
  }

  /** Spans of a note among the readings of plain words. */
  spansOf(words: string, note: Note): readonly Span[] {
    this.spansFor = noteKey(note);
    this.spans = [];
    this.search(words, this.scan(words));
    this.spansFor = undefined;
    return this.spans;
  }

  private free(text: string, from: number, to: number): string {
    if (to - from === 1) return text.slice(this.from[from]!, this.to[from]!);
    return this.joined(text, from, to);
  }

  private joined(text: string, from: number, to: number): string {
    // Words with one space between lie in the text as they are.
    let exact = true;
    for (let i = from + 1; i < to && exact; i++)
      exact = this.from[i] === this.to[i - 1]! + 1 && this.comma[i] === 0;
    const slice = text.slice(this.from[from]!, this.to[to - 1]!);
    return exact ? slice : slice.replace(/[ ,]+/g, ' ');
  }

  private wordsOf(text: string, count: number): string[] {
    return Array.from({ length: count }, (_, i) => text.slice(this.from[i], this.to[i]));
  }
}

function isLetter(code: number): boolean {
  return code >= 97 && code <= 122;
}

/** Spreads a hash over the low bits. */
function spread(hash: number): number {
  const mixed = Math.imul(hash, 0x9e3779b1);
  return mixed ^ (mixed >>> 15);
}

/** A reading whose spans are worked out when they are first looked at, by reading once more. */
class ExactReading implements Reading {
  readonly cost = 0;
  posterior = 1;

  constructor(
    private readonly reader: ExactReader,
    readonly note: Note,
    readonly words: string,
  ) {}

  get spans(): readonly Span[] {
    return this.reader.spansOf(this.words, this.note);
  }
}

/** Gives each of several meanings its share. */
function settle(found: readonly ExactReading[]): readonly Reading[] {
  for (const reading of found) reading.posterior = 1 / found.length;
  return found;
}
