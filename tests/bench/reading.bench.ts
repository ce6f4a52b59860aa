/**
 * Reading and speaking: the speed of the exact reader beside general parser libraries on the same sentences, the size
 * of the automaton, and the laws at length. `READING_SAMPLES=1000000` runs the laws on a million samples each; without
 * it they run on a tenth, since drawing and speaking a million takes minutes.
 */
import {
  compile,
  createReader,
  createSampler,
  createSpeaker,
  type Description,
  grammar,
  noteKey,
  parseDescription,
  type Reader,
} from '../../grammar/index.ts';
import { seeded } from '../../shared/seeded.ts';
import { chevrotainPeer, nearleyPeer, ohmPeer, type Peer, peggyPeer } from './peers/grammars.ts';

export const name = 'reading';

type Print = (name: string, value: number | string, unit: string) => void;

export async function run(print: Print): Promise<void> {
  sizes(print);
  const reader = createReader(compile(grammar));
  speed(print, reader);
  peers(print);
  laws(print, reader, Number(process.env.READING_SAMPLES ?? 100_000));
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

function laws(print: Print, reader: Reader, count: number): void {
  const trees = parseDescription(grammar);
  const sampler = createSampler(trees);
  const speaker = createSpeaker(trees);
  const random = seeded(2026);
  const tally = { read: 0, ambiguous: 0, spoken: 0, spokenFirst: 0, unspoken: 0 };
  const shown = new Map<string, number>();
  for (let i = 0; i < count; i++) {
    const { words, note, rule } = sampler.sample(random);
    const key = noteKey(note);
    const read = reader.read(words);
    const keys = read.ok ? read.value.map((reading) => noteKey(reading.note)) : [];
    if (keys.includes(key)) tally.read++;
    if (keys.length > 1) {
      tally.ambiguous++;
      shown.set(rule, (shown.get(rule) ?? 0) + 1);
    }
    const spoken = speaker.speak(note);
    if (spoken === undefined) {
      tally.unspoken++;
      continue;
    }
    const again = reader.read(spoken);
    const spokenKeys = again.ok ? again.value.map((reading) => noteKey(reading.note)) : [];
    if (spokenKeys.includes(key)) tally.spoken++;
    if (spokenKeys.length === 1 && spokenKeys[0] === key) tally.spokenFirst++;
  }
  print('laws.samples', count, 'notes');
  print('laws.sampleRead', (tally.read / count).toFixed(6), 'share');
  print('laws.sampleAmbiguous', (tally.ambiguous / count).toFixed(6), 'share');
  print('laws.unspoken', tally.unspoken, 'notes');
  print('laws.readOfSpeak', (tally.spoken / count).toFixed(6), 'share');
  print('laws.readOfSpeakAlone', (tally.spokenFirst / count).toFixed(6), 'share');
  for (const [rule, times] of [...shown].sort((a, b) => b[1] - a[1]).slice(0, 8)) {
    print(`laws.ambiguous.${rule}`, times, 'notes');
  }
  const { words } = reader.automaton;
  const pick = (n: number): number => Math.floor(random() * n);
  let good = 0;
  const start = performance.now();
  for (let i = 0; i < count; i++) {
    let text = '';
    for (let n = pick(9); n >= 0; n--) {
      text += random() < 0.8 ? ` ${words[1 + pick(words.length - 1)]}` : String.fromCharCode(pick(65536));
    }
    if (reader.read(text).ok) good++;
  }
  print('laws.randomStrings', count, 'strings without a crash');
  print('laws.randomRead', good, 'strings read');
  print('laws.randomTime', ((performance.now() - start) * 1000) / count, 'us');
}

// The tolerant reader's figures stand in hearing.bench.ts.
