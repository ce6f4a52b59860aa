/**
 * The exact reader: text to every note that it means word for word, best first, or a failure that says what was
 * expected. Plain lower-case text is read without a copy; anything else goes through `normalise` first.
 */

import { err, ok, type Result } from '../../shared/core/result.ts';
import type { Notes } from '../../shared/note/note.ts';
import { sameNote } from '../../shared/note/note-key.ts';
import type { Automaton } from '../automaton/automaton.ts';
import { Meaning, type Outside } from '../automaton/meaning.ts';
import { normalise } from '../description/normalise.ts';
import { Breath, type NoteFound, namesCrossed, rankOf } from './breath.ts';
import { Expectations, failureOf, outsideFailure } from './failure.ts';
import type { ReadFailure, Reading } from './reading.ts';
import { tearing } from './torn-numbers.ts';

/** The most words that one breath may have, and the most characters that are looked at. */
const longestNote = 120;
export const longestText = 2000;
/** The most ways in which one utterance is read; nobody means more. */
const mostReadings = 64;
/** Steps after which the search looks ahead instead of trying, and after which a note of several is given up. */
const plainSteps = 4000;
const mostSteps = 40_000;

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
  /** Places at which a note of a breath may end: before a comma or a word that joins; index into the words. */
  private readonly mark = new Uint8Array(longestNote + 1);
  private readonly joining: ReadonlySet<number>;
  /** Of these the weakest: alone it more often joins parts of one thing than two. */
  private readonly and: number;
  // A number that kept a reading from being one.
  private outside: Outside | undefined;
  private plain = '';
  /** The word that stands behind a comma and was read as a tenth of the number before it; -1 for none. */
  private pairAt = -1;
  /** By tag sequence: 1 where its word is a tenth without a "point", of so few that it may be logs. */
  private readonly tenths: Uint8Array;
  constructor(readonly automaton: Automaton) {
    this.meaning = new Meaning(automaton.tagSequences);
    this.expectations = new Expectations(automaton);
    const { words } = automaton;
    this.joining = joiningWords(automaton);
    this.and = automaton.wordId.get('and') ?? -1;
    this.unknown = words.length;
    this.tenths = tenthsOf(automaton);
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
    this.pairAt = -1;
    const read = this.readAsSaid(text);
    if (!read.ok || this.pairAt < 0) return read;
    // "Seventeen, one": a log as likely as a tenth, which only the person knows.
    const { pairAt, plain } = this;
    const logs = plain.slice(this.from[pairAt], this.to[pairAt]) === 'one' ? ' log' : ' logs';
    const other = this.readAsSaid(plain.slice(0, this.to[pairAt]) + logs + plain.slice(this.to[pairAt]));
    if (!other.ok) return read;
    const [first] = read.value;
    return ok(
      settle(
        [...read.value, ...other.value].map(({ notes }) => notes),
        first?.words ?? plain,
      ),
    );
  }

  private readAsSaid(text: string): Result<readonly Reading[], ReadFailure> {
    if (text.length > longestText) return err(failureOf('tooLong', [], 0, []));
    let plain = text;
    let count = this.scan(plain);
    if (count === -1) {
      plain = normalise(text);
      count = this.scan(plain);
    }
    const read = this.readPlain(plain, count);
    const tears = read.ok && plain !== text ? tearing(text) : undefined;
    if (tears === undefined || !read.ok) return read;
    const left = read.value.filter(({ notes }) => !tears(notes));
    if (left.length === 0) return err(this.failure(plain, this.scan(plain), undefined));
    return ok(
      settle(
        left.map(({ notes }) => notes),
        left[0]!.words,
      ),
    );
  }

  /** Canonical words, of which there are so many. */
  private readPlain(plain: string, count: number): Result<readonly Reading[], ReadFailure> {
    if (count <= 0 || count > longestNote)
      return err(failureOf(count === 0 || count === -1 ? 'empty' : 'tooLong', [], 0, []));
    this.outside = undefined;
    this.plain = plain;
    const alone = this.noteOf(plain, count);
    // A name does not go on behind a comma when what stands there is a note.
    if (alone.length > 0 && namesCrossed(alone[0]!) === 0) return ok(this.readings(plain, alone));
    const breath = this.breath(plain, count);
    const several = breath?.best(count);
    if (
      breath !== undefined &&
      several !== undefined &&
      (alone.length === 0 || several.rank < alone[0]!.rank)
    )
      return ok(settle(breath.readings(count, mostReadings), this.joined(plain, 0, count)));
    if (alone.length > 0) return ok(this.readings(plain, alone));
    return err(this.failure(plain, count, breath));
  }

  private readings(text: string, found: readonly NoteFound[]): readonly Reading[] {
    return settle(
      found.map(({ note }) => [note]),
      this.joined(text, 0, found[0]!.to),
    );
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

  /** What all words can mean as one note: the best readings. */
  private noteOf(text: string, count: number): readonly NoteFound[] {
    let found: NoteFound[] = [];
    this.walk(0, count, this.automaton.start, false, (_, state) => {
      found = this.accept(text, 0, count, state, found);
      return found.length < mostReadings;
    });
    return found;
  }

  /** All ways to cut the words into notes; nothing where there is no place to cut, or no way back. */
  private breath(text: string, count: number): Breath | undefined {
    const { automaton, mark } = this;
    const { again, start } = automaton;
    if (again === undefined) return undefined;
    let marks = 0;
    for (let at = 1; at < count; at++) {
      mark[at] = this.comma[at] === 1 || this.joining.has(this.word[at]!) ? 1 : 0;
      marks += mark[at]!;
    }
    if (marks === 0) return undefined;
    const breath = new Breath(count);
    for (let from = 0; from < count; from++) {
      if (!breath.reaches(from)) continue;
      const found: NoteFound[][] = [];
      const ends: number[] = [];
      this.walk(from, count, from === 0 ? start : again, true, (to, state) => {
        const at = ends.indexOf(to);
        if (at < 0) {
          ends.push(to);
          found.push(this.accept(text, from, to, state, []));
        } else if (found[at]!.length < mostReadings)
          found[at] = this.accept(text, from, to, state, found[at]!);
        return true;
      });
      const bare =
        this.comma[from] === 0 && this.word[from] === this.and && !this.joining.has(this.word[from + 1]!);
      for (const notes of found) breath.add(notes, from > 0 && bare);
    }
    return breath;
  }

  /**
   * Depth first over all paths from a word on; known words before free ones. Tells where a note may end: behind the
   * last word, or, of a breath, also at its marks; until it is told to stop.
   */
  private walk(
    from: number,
    count: number,
    start: number,
    atMarks: boolean,
    ends: (at: number, state: number) => boolean,
  ): void {
    const { automaton, path, mark } = this;
    const { arcFrom, arcTo, arcWord, finalFrom } = automaton;
    let state = start;
    let at = from;
    let stacked = 0;
    let steps = 0;
    let alive: Uint8Array | undefined;
    for (;;) {
      let next = -1;
      if (at < count) {
        if (atMarks && at > from && mark[at] === 1 && finalFrom[state + 1]! > finalFrom[state]!)
          ends(at, state);
        if (++steps === plainSteps) alive = this.lookAhead(count, atMarks);
        if (atMarks && steps > mostSteps) return;
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
      } else if (finalFrom[state + 1]! > finalFrom[state]! && !ends(at, state)) return;
      if (next < 0) {
        if (stacked === 0) return;
        stacked--;
        next = this.stackArc[stacked]!;
        at = this.stackAt[stacked]!;
      }
      path[at] = next;
      state = arcTo[next]!;
      at++;
    }
  }

  /** What the words lack; of a breath, behind the notes that could be read of it when that is further on. */
  private failure(text: string, count: number, breath: Breath | undefined): ReadFailure {
    if (this.outside !== undefined) return outsideFailure(this.outside);
    const words = this.wordsOf(text, count);
    const { start, again } = this.automaton;
    const one = this.stuck(0, count, start);
    const from = breath === undefined || breath.parted ? 0 : breath.furthest;
    const later = from > 0 && again !== undefined ? this.stuck(from, count, again) : one;
    const { at, states } = later.at > one.at ? later : one;
    return failureOf(
      at === count ? 'incomplete' : 'unreadable',
      words,
      at,
      this.expectations.at([...states]),
    );
  }

  /** Follows all paths at once to where the last of them ends. */
  private stuck(from: number, count: number, start: number): { at: number; states: ReadonlySet<number> } {
    const { arcFrom, arcTo, arcWord } = this.automaton;
    let states = new Set([start]);
    let at = from;
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
    return { at, states };
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
  private lookAhead(count: number, atMarks: boolean): Uint8Array {
    const { automaton } = this;
    const { states, arcFrom, arcTo, arcWord, finalFrom } = automaton;
    const alive = new Uint8Array((count + 1) * states);
    for (let state = 0; state < states; state++) {
      if (finalFrom[state + 1]! > finalFrom[state]!) alive[count * states + state] = 1;
    }
    for (let at = count - 1; at >= 0; at--) {
      for (let state = 0; state < states; state++) {
        if (atMarks && this.mark[at] === 1 && finalFrom[state + 1]! > finalFrom[state]!)
          alive[at * states + state] = 1;
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

  /** The note of the path in hand among those found before, where it is as good; alone, where it is better. */
  private accept(
    text: string,
    first: number,
    count: number,
    state: number,
    before: NoteFound[],
  ): NoteFound[] {
    const { automaton, meaning, path } = this;
    const { arcTags, arcWord, finalFrom, finalTags, tagsBefore } = automaton;
    let found = before;
    for (let final = finalFrom[state]!; final < finalFrom[state + 1]!; final++) {
      meaning.begin();
      let freeAt = -1;
      let free = '';
      let freeCount = 0;
      let crossed = 0;
      let inPhrase = 0;
      let tenth = -1;
      for (let i = first; i < count; i++) {
        const arc = path[i]!;
        if (this.commas > 0 && this.comma[i] === 1 && i > first) {
          if (freeAt >= 0 && arcWord[arc] === 0) crossed++;
          // Nothing was done when the word before was said, and nothing is before this one: both are one phrase.
          const last = arcTags[path[i - 1]!]!;
          const done = automaton.tagSequences[last]!.length - (tagsBefore?.[last] ?? 0);
          if (done === 0 && (tagsBefore?.[arcTags[arc]!] ?? 0) === 0) inPhrase++;
          if (this.tenths[arcTags[arc]!] === 1) tenth = i;
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
      const rank = rankOf({
        // Only a remark goes on behind a comma; a name that does is hardly one.
        names: note.kind === 'remark' ? 0 : crossed,
        crossed: crossed + meaning.crossed,
        inPhrase,
        free: freeCount,
        numbers: meaning.numbers,
      });
      const best = found[0]?.rank ?? Number.POSITIVE_INFINITY;
      if (rank > best) continue;
      if (rank < best) found = [];
      // Two paths that say the same ("feet" alone, "feet" before inches left out) are one reading.
      if (found.some((other) => sameNote(other.note, note))) continue;
      found.push({ note, rank, from: first, to: count });
      if (note.kind === 'tree') this.pairAt = Math.max(this.pairAt, tenth);
    }
    return found;
  }

  private free(text: string, from: number, to: number): string {
    if (to - from === 1) return text.slice(this.from[from]!, this.to[from]!);
    return this.joined(text, from, to);
  }

  private joined(text: string, from: number, to: number): string {
    // Words with one space between lie in the text as they are.
    let joined = '';
    let begun = from;
    for (let i = from + 1; i < to; i++) {
      if (this.from[i] === this.to[i - 1]! + 1 && this.comma[i] === 0) continue;
      joined += `${text.slice(this.from[begun]!, this.to[i - 1]!)} `;
      begun = i;
    }
    return joined + text.slice(this.from[begun]!, this.to[to - 1]!);
  }

  private wordsOf(text: string, count: number): string[] {
    return Array.from({ length: count }, (_, i) => text.slice(this.from[i], this.to[i]));
  }
}

/** Words that lead on from the way back and mean nothing: those that join two notes. */
function joiningWords({ again, start, arcFrom, arcWord, arcTo }: Automaton): ReadonlySet<number> {
  const joining = new Set<number>();
  if (again === undefined) return joining;
  for (let arc = arcFrom[again]!; arc < arcFrom[again + 1]!; arc++)
    if (arcTo[arc]! > again || arcTo[arc] === start) joining.add(arcWord[arc]!);
  return joining;
}

/** More of them than logs of one stem are no logs. */
const mostLogs = 7;

function tenthsOf({ tagSequences, tagsBefore }: Automaton): Uint8Array {
  return Uint8Array.from(tagSequences, (tags, id) => {
    const [point, tenth] = tags.slice(tagsBefore?.[id] ?? 0);
    const isPoint = point?.op === 'digit' && point.action === 'point';
    return isPoint &&
      tenth?.op === 'digit' &&
      tenth.action === 'decimal' &&
      tenth.value > 0 &&
      tenth.value <= mostLogs
      ? 1
      : 0;
  });
}

function isLetter(code: number): boolean {
  return code >= 97 && code <= 122;
}

/** Spreads a hash over the low bits. */
function spread(hash: number): number {
  const mixed = Math.imul(hash, 0x9e3779b1);
  return mixed ^ (mixed >>> 15);
}

/** Readings of the same words, each with its share. */
const settle = (found: readonly Notes[], words: string): readonly Reading[] =>
  found.map((notes) => ({ notes, words, posterior: 1 / found.length, cost: 0 }));
