/**
 * The laws of the language at length: a sampled sentence means its note and nothing else, a note said in words is read
 * back, and random strings (letters, words of the lexicon, ordinary English, true notes shuffled, numbers) neither crash a
 * reader nor are kept without a question unless they read word for word or tell all that was said and nothing else
 * (`tests/fuzz/sense.ts`). `LANGUAGE_SAMPLES` and `LANGUAGE_STRINGS` set how many, `LANGUAGE_SEED` which,
 * `LANGUAGE_WHOLE` how seldom a string is judged by the whole chain that no reader by itself would keep (1: always).
 */
import { compile } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createReader, type Reader } from '../../grammar/reading/exact.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { createSpeaker } from '../../grammar/writing/speak.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { createJudge, createSieve } from '../fuzz/kept-wrongly.ts';
import { makerNames, makers } from '../fuzz/random-strings.ts';

export const name = 'language';

type Print = (name: string, value: number | string, unit: string) => void;

interface Run {
  readonly count: number;
  readonly seed: number;
  readonly whole: number;
}

/** Failures shown with their words. */
const mostShown = 8;

export async function run(print: Print): Promise<void> {
  const automaton = compile(grammar);
  const reader = createReader(automaton);
  const seed = Number(process.env.LANGUAGE_SEED ?? 2026);
  notes(print, reader, Number(process.env.LANGUAGE_SAMPLES ?? 100_000), seed);
  strings(print, reader, {
    count: Number(process.env.LANGUAGE_STRINGS ?? 20_000),
    seed: seed + 1,
    whole: Number(process.env.LANGUAGE_WHOLE ?? 20),
  });
}

function notes(print: Print, reader: Reader, count: number, seed: number): void {
  const trees = parseDescription(grammar);
  const sampler = createSampler(trees);
  const speaker = createSpeaker(trees);
  const random = seeded(seed);
  const meanings = (words: string | undefined): readonly string[] => {
    const read = words === undefined ? undefined : reader.read(words);
    return read?.ok ? read.value.map(({ notes: [note] }) => noteKey(note)) : [];
  };
  const tally = { sampleRead: 0, speakRead: 0, withoutCommas: 0 };
  const shown: string[] = [];
  for (let i = 0; i < count; i++) {
    const { words, written, note } = sampler.sample(random);
    const key = noteKey(note);
    const only = (found: readonly string[]) => found.length === 1 && found[0] === key;
    const said = meanings(written);
    if (only(said)) tally.sampleRead++;
    else shown.push(`sample "${written}": ${said.join(' or ') || 'not read'}`);
    const spoken = speaker.speak(note);
    const again = meanings(spoken);
    if (only(again)) tally.speakRead++;
    else shown.push(`spoken "${spoken}" of ${key}: ${again.join(' or ') || 'not read'}`);
    if (words === written || only(meanings(words))) tally.withoutCommas++;
  }
  print('notes', count, 'sampled');
  print('notes.read', tally.sampleRead, 'sentences mean their note and nothing else');
  print('notes.spoken', tally.speakRead, 'notes read back from speak(note), alone');
  print(
    'notes.pauseless',
    ((100 * tally.withoutCommas) / count).toFixed(4),
    '% of the sentences also without commas',
  );
  for (const failure of shown.slice(0, mostShown)) print('notes.failure', failure, '');
}

/** `whole`: of what no reader would keep, every so many are judged by the whole chain. */
function strings(print: Print, reader: Reader, { count, seed, whole }: Run): void {
  const judge = createJudge(reader.automaton);
  const mayBeKept = createSieve(reader.automaton);
  const made = makers(reader.automaton);
  const shown: string[] = [];
  const start = process.cpuUsage();
  let missed = 0;
  print('strings', count, `of ${makerNames.join(', ')} in turn, none crashed`);
  for (const maker of makerNames) {
    const random = seeded(seed);
    const pick = (n: number): number => Math.floor(random() * n);
    const tally: Record<string, number> = {};
    const own = Math.ceil(count / makerNames.length);
    for (let i = 0; i < own; i++) {
      const text = made[maker](pick);
      const sieved = mayBeKept(text);
      const verdict = sieved || i % whole === 0 ? judge(text) : 'passed by';
      const kind = typeof verdict === 'string' ? verdict : 'kept';
      tally[kind] = (tally[kind] ?? 0) + 1;
      if (!sieved && !/^(?:asked|refused|passed by)$/.test(kind)) missed++;
      if (typeof verdict !== 'string')
        shown.push(`${JSON.stringify(text)} as "${verdict.kept}": ${verdict.why}`);
    }
    const all = Object.entries(tally).map(([kind, many]) => `${many} ${kind}`);
    print(`strings.${maker}`, own, all.sort().join(', '));
  }
  const { user, system } = process.cpuUsage(start);
  print('strings.kept', shown.length, 'kept without a question against what was said');
  print('strings.missed', missed, 'of the sample kept though no reader by itself would keep them');
  print('strings.time', ((user + system) / 1000 / count).toFixed(3), 'ms of processor each');
  for (const each of shown.slice(0, mostShown)) print('strings.keptWords', each, '');
}
