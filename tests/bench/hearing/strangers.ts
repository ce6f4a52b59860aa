/** What is kept of an hour that is none of the tool's business, and of notes with one wrong or extra word. */
import type { Print } from '../hearing.bench.ts';
import { load } from '../voices/clips.ts';
import { babble, pink, seeded, soundscapes } from '../voices/noise.ts';
import type { Ear, Trial } from '../voices/trials.ts';
import { believed, candidatesOf, fate, questionBefore } from './fate.ts';
import { shareOf } from './statistics.ts';

const hour = 3600;
const piece = 4;

/** Prints the counts; gives the belief in every piece of the hour, 0 where nothing was offered. */
export async function nobody(print: Print, ear: Ear, strangers: readonly Trial[]): Promise<number[]> {
  const near = strangers.filter(({ clip }) => clip.set === 'near');
  for (const decibels of new Set(near.map((trial) => trial.decibels))) {
    const some = near.filter((trial) => trial.decibels === decibels && !trial.readable);
    for (const end of ['kept', 'asked'] as const) {
      const { percent, low, high, of } = shareOf(
        some.map(({ candidates }) => fate(candidates) === end),
        some.map(({ clip }) => clip.text),
      );
      print(
        `near.${Number.isFinite(decibels) ? `${decibels}dB` : 'clean'}.${end}`,
        percent.toFixed(1),
        `% (${low.toFixed(1)} to ${high.toFixed(1)}) of ${of}`,
      );
    }
  }
  const beliefs: number[] = [];
  let seconds = 0;
  for (const set of ['talk', 'own'] as const) {
    // A reply that is itself a sentence of the grammar ("Next tree.") is told from a note only by whose voice it is.
    const some = strangers.filter(
      (trial) => trial.clip.set === set && !trial.readable && !Number.isFinite(trial.decibels),
    );
    const long = some.reduce((sum, trial) => sum + trial.seconds, 0);
    const count = (end: string) => some.filter(({ candidates }) => fate(candidates) === end).length;
    print(
      `${set}.kept`,
      count('kept'),
      `of ${some.length} clips, ${(long / 60).toFixed(1)} minutes, ${count('asked')} asked`,
    );
    seconds += long;
    beliefs.push(...some.map(({ candidates }) => believed(candidates)));
    if (process.env.STEMSAY_MISSES)
      for (const { found, clip } of some.filter((trial) => fate(trial.candidates) === 'kept'))
        console.error(
          `${set} | ${clip.text} | ${found.hypotheses[0]?.words.map(({ word }) => word).join(' ')}`,
        );
  }
  // The rest of the hour: sounds of a wood, and people too many to be understood, at four loudnesses.
  const others = strangers
    .filter(
      ({ clip, decibels }) =>
        clip.set === 'talk' && clip.engine === 'flite' && decibels === Number.POSITIVE_INFINITY,
    )
    .slice(0, 60)
    .map(({ clip }) => load(clip.file));
  const makers = {
    ...soundscapes,
    babble: (length: number, random: () => number) => babble(length, random, others),
  };
  const names = Object.keys(makers) as (keyof typeof makers)[];
  const tally = new Map<string, { kept: number; asked: number; pieces: number }>();
  for (let i = 0; seconds < hour; i++, seconds += piece) {
    const name = names[i % names.length]!;
    const level = [0.003, 0.02, 0.08, 0.2][Math.floor(i / names.length) % 4]!;
    const { found, noise } = await ear.hearKept(`nobody/${name}/${i}/${level}/${piece}`, () => {
      const random = seeded(1000 + i);
      const under = pink(piece * 16000, random);
      return makers[name]!(piece * 16000, random).map((sample, t) => level * (sample + 0.05 * under[t]!));
    });
    const candidates = candidatesOf(found, noise, questionBefore(i, []));
    const count = tally.get(name) ?? { kept: 0, asked: 0, pieces: 0 };
    count.pieces++;
    if (fate(candidates) === 'kept') count.kept++;
    if (fate(candidates) === 'asked') count.asked++;
    tally.set(name, count);
    beliefs.push(believed(candidates));
  }
  for (const [name, { kept, asked, pieces }] of tally)
    print(`nobody.${name}.kept`, kept, `of ${pieces} pieces of ${piece} s, ${asked} asked`);
  return beliefs;
}
