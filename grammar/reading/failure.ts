/** Says why words could not be read: what was expected, what was found, and where. */

import type { Automaton } from '../automaton/automaton.ts';
import type { Outside } from '../automaton/meaning.ts';
import { ones, teens, tens } from '../description/numbers.ts';
import type { ReadFailure } from './reading.ts';

const numberWords = new Set([
  ...ones,
  ...teens,
  ...tens,
  'zero',
  'oh',
  'nought',
  'double',
  'point',
  'half',
  'quarter',
  'a',
  'an',
]);

const connectingWords = new Set('the a an and is are at of to in on or it my about with hundred'.split(' '));

/** What can come next in each state is worked out once, when somebody first stops there. */
export class Expectations {
  private readonly known = new Map<number, readonly string[]>();

  constructor(private readonly automaton: Automaton) {}

  /** What could come next in any of the states, most usual first: at most eight words or plain names of parts. */
  at(states: readonly number[]): readonly string[] {
    if (states.length > 1) return this.gather(states);
    const state = states[0]!;
    let expected = this.known.get(state);
    if (expected === undefined) {
      expected = this.gather(states);
      this.known.set(state, expected);
    }
    return expected;
  }

  private gather(states: readonly number[]): readonly string[] {
    const { arcFrom, arcWord, words, wordId } = this.automaton;
    const ids = new Set<number>();
    for (const state of states) {
      for (let arc = arcFrom[state]!; arc < arcFrom[state + 1]!; arc++) ids.add(arcWord[arc]!);
    }
    const expected: string[] = [];
    const number = ones.filter((word) => ids.has(wordId.get(word) ?? -1)).length >= mostOnes;
    if (number) expected.push('a number');
    // Words are numbered in the order of the description, which begins with what is usual. Words that only connect
    // come last: they say little of what is missing.
    const connecting: string[] = [];
    for (const id of [...ids].sort((a, b) => a - b)) {
      const word = words[id]!;
      if (id === 0 || (number && numberWords.has(word))) continue;
      (connectingWords.has(word) ? connecting : expected).push(word);
    }
    expected.push(...connecting);
    if (ids.has(0)) expected.push('a name');
    return expected.slice(0, 8);
  }
}

/** With so many of one to nine possible, a number is expected, not each of its words. */
const mostOnes = 5;

/** The failure with its sentence. `at` is the index of the word at which reading stopped. */
export function failureOf(
  kind: ReadFailure['kind'],
  words: readonly string[],
  at: number,
  expected: readonly string[],
): ReadFailure {
  const found = words[at] ?? '';
  return { kind, at, found, expected, message: sentence(kind, words, at, expected) };
}

function sentence(
  kind: ReadFailure['kind'],
  words: readonly string[],
  at: number,
  expected: readonly string[],
): string {
  if (kind === 'empty') return 'Nothing was said.';
  if (kind === 'tooLong')
    return 'That is too long for one breath: at most 120 words and eight notes. Say it in parts.';
  const wanted = expected.length === 0 ? 'the end of the note' : list(expected);
  const after = at === 0 ? '' : ` after "${words.slice(Math.max(0, at - 4), at).join(' ')}"`;
  if (kind === 'incomplete') return `The note is not finished: expected ${wanted}${after}.`;
  return `Expected ${wanted}${after}, found "${words[at]}".`;
}

function list(items: readonly string[]): string {
  const named = items.map((item) => (item.includes(' ') ? item : `"${item}"`));
  return named.length === 1 ? named[0]! : `${named.slice(0, -1).join(', ')} or ${named[named.length - 1]}`;
}

/** The failure of words that fit, with a number that does not. */
export function outsideFailure({ path, allowed, value }: Outside): ReadFailure {
  const name = path.replace(/\.value$/, '').replace(/^.*\./, '');
  const wanted = name === '' ? allowed : `${allowed} for "${name}"`;
  return {
    kind: 'unreadable',
    at: 0,
    found: String(value),
    limit: true,
    expected: [allowed],
    message: `Expected ${wanted}, found ${value}.`,
  };
}
