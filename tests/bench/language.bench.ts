/**
 * The laws of the language at length: a sampled sentence means its note and nothing else, a note said in words is read
 * back, and strings of random words and bytes neither crash a reader nor are kept without a question unless they read
 * word for word. `LANGUAGE_SAMPLES` and `LANGUAGE_STRINGS` set how many; a million each takes about an hour.
 */
import { compile } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createReader, type Reader } from '../../grammar/reading/exact.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { createSpeaker } from '../../grammar/writing/speak.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { createJudge, randomString } from '../fuzz/kept-wrongly.ts';

export const name = 'language';

type Print = (name: string, value: number | string, unit: string) => void;

/** Failures shown with their words. */
const mostShown = 8;

export async function run(print: Print): Promise<void> {
  const automaton = compile(grammar);
  const reader = createReader(automaton);
  const seed = Number(process.env.LANGUAGE_SEED ?? 2026);
  notes(print, reader, Number(process.env.LANGUAGE_SAMPLES ?? 100_000), seed);
  strings(print, reader, Number(process.env.LANGUAGE_STRINGS ?? 20_000), seed + 1);
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

function strings(print: Print, reader: Reader, count: number, seed: number): void {
  const judge = createJudge(reader.automaton);
  const random = seeded(seed);
  const pick = (n: number): number => Math.floor(random() * n);
  const tally = { exact: 0, plain: 0, alike: 0, asked: 0, refused: 0, unfit: 0, kept: 0 };
  const shown: string[] = [];
  const start = performance.now();
  for (let i = 0; i < count; i++) {
    const text = randomString(reader.automaton, i, pick);
    const verdict = judge(text);
    if (typeof verdict === 'string') tally[verdict]++;
    else {
      tally.kept++;
      shown.push(`${JSON.stringify(text)} as "${verdict.kept}"`);
    }
  }
  print('strings', count, 'of random words and random bytes, none crashed');
  print('strings.exact', tally.exact, 'read word for word');
  print('strings.plain', tally.plain, 'read word for word without fillers and stammers');
  print('strings.alike', tally.alike, 'read word for word by their sound (ate for eight)');
  print('strings.asked', tally.asked, 'asked about');
  print('strings.refused', tally.refused, 'refused');
  print('strings.unfit', tally.unfit, 'read with a name that no book can hold, refused by the session');
  print('strings.kept', tally.kept, 'kept without a question though not word for word');
  print('strings.time', ((performance.now() - start) / count).toFixed(3), 'ms');
  for (const each of shown.slice(0, mostShown)) print('strings.keptWords', each, '');
}
