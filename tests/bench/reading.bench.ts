/**
 * Reading: the speed of the exact reader beside general parser libraries on the same sentences, and the size of the
 * automaton.
 */
import { compile } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import type { Description } from '../../grammar/description/model.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createReader, type Reader } from '../../grammar/reading/exact.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { chevrotainPeer, nearleyPeer, ohmPeer, type Peer, peggyPeer } from './peers/grammars.ts';

export const name = 'reading';

type Print = (name: string, value: number | string, unit: string) => void;

export async function run(print: Print): Promise<void> {
  sizes(print);
  const reader = createReader(compile(grammar));
  speed(print, reader);
  breaths(print, reader);
  peers(print);
}

function sizes(print: Print): void {
  const times: number[] = [];
  for (let i = 0; i < 7; i++) {
    const start = performance.now();
    compile(grammar);
    times.push(performance.now() - start);
  }
  const automaton = compile(grammar);
  print('compile.first', Math.round(times[0]!), 'ms');
  print('compile.best', Math.round(Math.min(...times)), 'ms');
  print('automaton.states', automaton.states, 'states');
  print('automaton.arcs', automaton.arcWord.length, 'arcs');
  print('automaton.words', automaton.words.length - 1, 'words');
}

const examples = (description: Description): { words: string; key: string }[] =>
  description.rules.flatMap((rule) =>
    (rule.examples ?? []).map(({ words, note }) => ({ words, key: noteKey(note) })),
  );

function speed(print: Print, reader: Reader): void {
  const all = examples(grammar).map(({ words }) => words);
  const ordinary = all.filter((words) => words.split(' ').length >= 5 && words.split(' ').length <= 8);
  const typed = [
    '8 paces, eye 5.5',
    '42 ft, eye 5\'6"',
    'plot 7, 1/10 acre',
    'Red Oak 14.2 in, 2.5 logs',
    'laser 92',
  ];
  const quantile = (times: readonly number[], share: number): number =>
    Math.round(times[Math.min(times.length - 1, Math.floor(times.length * share))]!);
  for (const [label, sentences] of [
    ['exact.ordinary', ordinary],
    ['exact.all', all],
    ['exact.typed', typed],
  ] as const) {
    const times = nanoseconds((words) => reader.read(words), sentences, 1500);
    print(`${label}.p50`, quantile(times, 0.5), 'ns');
    print(`${label}.p99`, quantile(times, 0.99), 'ns');
  }
}

/** Several notes to an utterance, as they are typed: nanoseconds a note. */
function breaths(print: Print, reader: Reader): void {
  const ordinary = examples(grammar)
    .map(({ words }) => words)
    .filter((words) => words.split(' ').length >= 3 && words.split(' ').length <= 8);
  for (const count of [2, 4, 8]) {
    const sentences: string[] = [];
    for (let at = 0; at + count <= ordinary.length; at += count) {
      const words = ordinary.slice(at, at + count).join(', ');
      const read = reader.read(words);
      // Two that are one note together ("red oak sixteen", "twelve paces") are no figure of a breath.
      if (read.ok && read.value[0]!.notes.length === count) sentences.push(words);
    }
    const times = nanoseconds((words) => reader.read(words), sentences, 1000).map((time) => time / count);
    print(`exact.breath_of_${count}`, sentences.length, 'utterances');
    print(`exact.breath_of_${count}.p50`, Math.round(times[Math.floor(times.length / 2)]!), 'ns a note');
    print(`exact.breath_of_${count}.p99`, Math.round(times[Math.floor(times.length * 0.99)]!), 'ns a note');
  }
}

/** Nanoseconds of one call, from short runs of each sentence, sorted. */
function nanoseconds(
  read: (words: string) => unknown,
  sentences: readonly string[],
  forMs: number,
): number[] {
  const times: number[] = [];
  const inRun = 16;
  const warm = performance.now() + forMs / 3;
  while (performance.now() < warm) for (const words of sentences) read(words);
  const end = performance.now() + forMs;
  while (performance.now() < end) {
    for (const words of sentences) {
      const start = process.hrtime.bigint();
      for (let i = 0; i < inRun; i++) read(words);
      times.push(Number(process.hrtime.bigint() - start) / inRun);
    }
  }
  return times.sort((a, b) => a - b);
}

/**
 * A part of the language that all peers can be generated for in reasonable time: parsing expressions and LL(k) take
 * minutes for the whole. Our own automaton is compiled from the same part.
 */
const peerRules = [
  'heights.stick',
  'heights.spans',
  'heights.laid',
  'heights.reading',
  'trees.again',
  'trees.next',
  'mending.redo',
  'mending.yes',
  'plots.close',
];

function peers(print: Print): void {
  const part: Description = {
    ...grammar,
    rules: grammar.rules.filter((rule) => rule.family === undefined || peerRules.includes(rule.id)),
  };
  const trees = parseDescription(part);
  const reader = createReader(compile(part));
  const cases = examples(part);
  print('peers.sentences', cases.length, 'sentences');
  for (const [label, make] of [
    ['chevrotain', () => chevrotainPeer(trees, 2)],
    ['peggy', () => peggyPeer(trees)],
    ['ohm', () => ohmPeer(trees)],
    ['nearley', () => nearleyPeer(trees)],
  ] as const) {
    const start = performance.now();
    const peer: Peer = make();
    print(`peers.${label}.build`, Math.round(performance.now() - start), 'ms');
    // Without backtracking over all alternatives a peer refuses some; only what it reads right is timed.
    const right = cases
      .filter(({ words, key }) => {
        const note = peer(words);
        return note !== undefined && noteKey(note) === key;
      })
      .map(({ words }) => words);
    print(`peers.${label}.right`, right.length, 'sentences');
    const theirs = middle(nanoseconds(peer, right, 1200));
    const ours = middle(nanoseconds((words) => reader.read(words), right, 1200));
    print(`peers.${label}.p50`, Math.round(theirs), 'ns');
    print(`peers.${label}.ours`, Math.round(ours), 'ns');
    print(`peers.${label}.ratio`, (theirs / ours).toFixed(1), 'times');
  }
}

const middle = (sorted: readonly number[]): number => sorted[Math.floor(sorted.length / 2)]!;

// The laws at length stand in language.bench.ts, the tolerant reader's figures in slips.bench.ts.
