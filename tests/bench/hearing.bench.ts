/**
 * Hearing: notes right by meaning, clean and in the noises of a wood, by voices that the model was never trained on;
 * what is kept of near misses and of an hour that is none of the tool's business; how sure and how fast. Beside it,
 * where the files are at hand:
 * - STEMSAY_OTHER: folder of another acoustic model, tested on the same clips (McNemar);
 * - STEMSAY_HUMAN_DIGITS: folder of the Free Spoken Digit Dataset (CC BY-SA 4.0; files DIGIT_SPEAKER_TAKE.wav),
 *   heard against a list of ten words; STEMSAY_HUMAN: a folder made by `voices/people.py`;
 * - STEMSAY_WHISPER: folder of a small general recogniser in the layout of the library (whisper-tiny.en), run
 *   through the same library on the same clips in the same run, those of people too; Debian's pocketsphinx likewise.
 * A note is heard as the session hears it: answers with a question open, every eighth other note too (`fate.ts`);
 * `by_sound_alone` is without that.
 * STEMSAY_MODEL measures another acoustic model, STEMSAY_FEW=n only every n-th clip, STEMSAY_MISSES prints what was
 * heard wrong, STEMSAY_NOISE lays one noise over all clips.
 */

import { believed, fate } from './hearing/fate.ts';
import { general } from './hearing/general.ts';
import { digits, people } from './hearing/human.ts';
import { opinions } from './hearing/opinions.ts';
import { printPairs } from './hearing/pairs.ts';
import { service, speed } from './hearing/speed.ts';
import { mcnemar, type Share, shareOf } from './hearing/statistics.ts';
import { nobody } from './hearing/strangers.ts';
import { type Clip, ready } from './voices/clips.ts';
import { createEar, measuredModel, runTrials, type Trial } from './voices/trials.ts';

export const name = 'hearing';

export type Print = (name: string, value: number | string, unit: string) => void;

const clean = Number.POSITIVE_INFINITY;
const conditions = [clean, 20, 10, 5, 0];
const ratioName = (decibels: number) => (decibels === clean ? 'clean' : `${decibels}dB`);

export async function run(print: Print): Promise<void> {
  const every = Number(process.env.STEMSAY_FEW ?? 1);
  const clips = ready((sentence) => console.error(sentence)).filter((_, i) => i % every === 0);
  const of = (...sets: Clip['set'][]) => clips.filter(({ set }) => sets.includes(set));
  const ear = await createEar();
  const notes = await runTrials(ear, of('usual', 'day'), conditions);
  const drawn = await runTrials(ear, of('sampled'), [clean, 10, 0]);
  const stress = await runTrials(ear, of('stress'), [20, 10, 5, 0]);
  const strangers = await runTrials(ear, of('near', 'talk', 'own'), [clean, 10]);
  printNotes(print, notes, drawn);
  printPairs(print, [...notes, ...drawn]);
  printStress(print, stress);
  opinions(print, ear, stress);
  const hour = await nobody(print, ear, strangers);
  printTradeoff(print, notes, strangers, hour);
  printReliability(print, [...notes, ...drawn]);
  if (process.env.STEMSAY_MISSES) tellMisses([...notes, ...drawn]);
  const other = process.env.STEMSAY_OTHER;
  if (other) {
    const rival = await runTrials(await createEar(undefined, other), of('usual', 'day'), conditions);
    printMatched(print, notes, rival);
  }
  await speed(print, ear, clips);
  await service(print, clips, measuredModel());
  await digits(print);
  await people(print);
  await general(print, ear, notes);
}

const shared = ({ percent, low, high, of }: Share) =>
  [percent.toFixed(1), `% (${low.toFixed(1)} to ${high.toFixed(1)}) of ${of}`] as const;
const share = (some: readonly Trial[], is: (trial: Trial) => boolean) =>
  shared(
    shareOf(
      some.map(is),
      some.map(({ clip }) => clip.text),
    ),
  );

function printNotes(print: Print, notes: readonly Trial[], drawn: readonly Trial[]): void {
  const sets: [string, readonly Trial[]][] = [
    ['notes', notes],
    ['notes.unnamed', notes.filter(({ named }) => !named)],
    ['notes.usual', notes.filter(({ clip }) => clip.set === 'usual')],
    ['notes.day', notes.filter(({ clip }) => clip.set === 'day')],
    ['sampled', drawn],
  ];
  for (const [set, all] of sets) {
    const unread = all.filter((trial) => !trial.readable);
    print(`${set}.not_in_grammar`, new Set(unread.map(({ clip }) => clip.text)).size, 'sentences left out');
    for (const decibels of conditions) {
      const some = all.filter((trial) => trial.decibels === decibels && trial.readable);
      if (some.length === 0) continue;
      const at = `${set}.${ratioName(decibels)}`;
      print(`${at}.by_meaning`, ...share(some, ({ right }) => right));
      if (set !== 'notes' && set !== 'sampled') continue;
      print(`${at}.by_sound_alone`, ...share(some, ({ rightBySound }) => rightBySound));
      print(`${at}.word_for_word`, ...share(some, ({ wordForWord }) => wordForWord));
      const slots = some.reduce((sum, { slots: { wrong } }) => sum + wrong, 0);
      const said = some.reduce((sum, { slots }) => sum + slots.all, 0);
      print(`${at}.slot_error`, ((100 * slots) / said).toFixed(2), `% of ${said} slots`);
      print(`${at}.undetected`, ...share(some, (t) => !t.right && fate(t.candidates) === 'kept'));
      print(`${at}.right_and_kept`, ...share(some, (t) => t.right && fate(t.candidates) === 'kept'));
      print(`${at}.asked_or_refused`, ...share(some, (t) => fate(t.candidates) !== 'kept'));
    }
  }
  for (const noise of new Set(notes.map((trial) => trial.noise))) {
    const some = notes.filter((trial) => trial.noise === noise && trial.readable && trial.decibels <= 10);
    if (some.length > 0) print(`notes.${noise}.0_to_10dB.by_meaning`, ...share(some, ({ right }) => right));
  }
  for (const voice of new Set(notes.map(({ clip }) => clip.voice))) {
    const some = notes.filter((t) => t.clip.voice === voice && t.readable && t.decibels === clean);
    print(`notes.clean.by_meaning.${voice}`, ...share(some, ({ right }) => right));
  }
}

function printStress(print: Print, trials: readonly Trial[]): void {
  for (const list of new Set(trials.map(({ clip }) => clip.list)))
    for (const decibels of [20, 10, 5, 0]) {
      const some = trials.filter((t) => t.clip.list === list && t.decibels === decibels && t.readable);
      const at = `stress.${list}.${ratioName(decibels)}`;
      print(`${at}.by_meaning`, ...share(some, ({ right }) => right));
      print(`${at}.undetected`, ...share(some, (t) => !t.right && fate(t.candidates) === 'kept'));
    }
}

/** For a range of limits: what is lost of true notes, and what is kept that should not be. */
function printTradeoff(
  print: Print,
  notes: readonly Trial[],
  strangers: readonly Trial[],
  hour: readonly number[],
): void {
  const ten = notes.filter((trial) => trial.decibels === 10 && trial.readable);
  const near = strangers.filter(({ clip }) => clip.set === 'near');
  const kept = (sures: readonly number[], from: number) => sures.filter((sure) => sure >= from).length;
  const sure = (some: readonly Trial[]) => some.map(({ candidates }) => believed(candidates));
  const right = sure(ten.filter((trial) => trial.right));
  const wrong = sure(ten.filter((trial) => !trial.right));
  for (const from of [0.5, 0.7, 0.8, 0.85, 0.9, 0.93, 0.95, 0.97, 0.98, 0.99]) {
    const percent = (part: number, whole: number) => ((100 * part) / whole).toFixed(2);
    print(
      `tradeoff.${from}`,
      percent(kept(right, from), ten.length),
      `% of true notes at 10 dB kept and right, ${percent(kept(wrong, from), ten.length)} % kept and wrong, ` +
        `${percent(kept(sure(near), from), near.length)} % of near misses kept, ${kept(hour, from)} kept in an hour of others`,
    );
  }
}

/** Of what is believed so far, how much is right. */
function printReliability(print: Print, trials: readonly Trial[]): void {
  const some = trials.filter(({ readable }) => readable);
  const edges = [0, 0.25, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0001];
  let apart = 0;
  for (let i = 0; i + 1 < edges.length; i++) {
    const [low, high] = [edges[i]!, edges[i + 1]!];
    const bin = some.filter(({ candidates }) => believed(candidates) >= low && believed(candidates) < high);
    if (bin.length === 0) continue;
    const mean = bin.reduce((sum, { candidates }) => sum + believed(candidates), 0) / bin.length;
    const right = bin.filter((trial) => trial.right).length / bin.length;
    apart += (Math.abs(mean - right) * bin.length) / some.length;
    print(
      `reliability.${low}_to_${Math.min(1, high)}`,
      (100 * right).toFixed(1),
      `% right, ${(100 * mean).toFixed(1)} % believed, ${bin.length} clips`,
    );
  }
  print('reliability.apart', (100 * apart).toFixed(2), 'points between belief and truth, mean over clips');
}

/** The same clips through two models. */
function printMatched(print: Print, ours: readonly Trial[], theirs: readonly Trial[]): void {
  for (const decibels of conditions) {
    const pairs = ours
      .map((trial, i) => [trial, theirs[i]!] as const)
      .filter(([t]) => t.decibels === decibels && t.readable);
    const first = pairs.filter(([a, b]) => a.right && !b.right).length;
    const second = pairs.filter(([a, b]) => !a.right && b.right).length;
    print(
      `matched.${ratioName(decibels)}`,
      mcnemar(first, second).toPrecision(2),
      `p (McNemar, exact): ${first} clips only ours, ${second} only the other, of ${pairs.length}`,
    );
  }
}

function tellMisses(trials: readonly Trial[]): void {
  for (const trial of trials.filter((t) => !t.right && t.readable)) {
    const best = trial.found.hypotheses[0];
    const heard = best?.words.map((word) => word.word).join(' ') ?? '-';
    console.error(
      [
        trial.clip.set,
        ratioName(trial.decibels),
        trial.noise,
        trial.clip.voice,
        trial.clip.text,
        heard,
        fate(trial.candidates),
        believed(trial.candidates).toFixed(2),
      ].join(' | '),
    );
  }
}
