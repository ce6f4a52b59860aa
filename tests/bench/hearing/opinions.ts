/**
 * What the trees add to the ear: heights of the stress lists in noise, heard by sound alone and with the stand's opinion.
 * Each sentence is said in a made-up stand whose trees are about as tall as the one that it tells.
 */

import { seeded } from '../../../shared/core/random.ts';
import { HeightCurve } from '../../../shared/measuring/doubt/curve.ts';
import { type StandView, twoOpinions } from '../../../shared/measuring/doubt/opinions.ts';
import { measure } from '../../../shared/measuring/height/measure.ts';
import type { Candidate } from '../../../shared/note/note.ts';
import { noteKey } from '../../../shared/note/note-key.ts';
import { settings } from '../doubts/notes.ts';
import type { Print } from '../hearing.bench.ts';
import { type Ear, meanings, type Trial } from '../voices/trials.ts';
import { fate } from './fate.ts';

/** Trees measured before, and how far their heights scatter about the curve (logarithm). */
const treesBefore = 15;
const scatter = 0.12;
/** Heights, feet, of trees that stand in a stand. */
const ordinary = { least: 25, most: 130 } as const;

/** A stand in which a tree of 14 inches is about so tall. */
function standOf(feet: number, seed: number): StandView {
  const random = seeded(seed);
  const curve = new HeightCurve();
  for (let i = 0; i < treesBefore; i++) {
    const diameterIn = 9 + 10 * random();
    const spread = Math.exp(scatter * 1.7 * (random() + random() - 1));
    curve.observe({
      species: 531,
      diameterIn,
      heightFt: 4.5 + (feet - 4.5) * (diameterIn / 14) ** 0.45 * spread,
    });
  }
  return { settings, curve, tree: { species: 531, diameterIn: 14 } };
}

export function opinions(print: Print, ear: Ear, stress: readonly Trial[]): void {
  for (const decibels of new Set(stress.map((trial) => trial.decibels))) {
    const none = { right: 0, wrong: 0, asked: 0 };
    const tally = { said: 0, sound: { ...none }, both: { ...none } };
    for (const [i, { clip, candidates }] of stress.filter((trial) => trial.decibels === decibels).entries()) {
      const wanted = meanings(ear.reader, clip.text);
      const height = [...wanted.values()].find((note) => note.kind === 'height');
      const told = height && measure(height.height, settings);
      if (!told?.ok || told.value.feet < ordinary.least || told.value.feet > ordinary.most) continue;
      const outcome = (list: readonly Candidate[]): keyof typeof none => {
        if (fate(list) !== 'kept') return 'asked';
        return wanted.has(noteKey(list[0]!.notes[0])) ? 'right' : 'wrong';
      };
      const sure = fate(candidates) === 'kept';
      const weighed = sure ? candidates : twoOpinions(candidates, standOf(told.value.feet, i + 1));
      tally.said++;
      tally.sound[outcome(candidates)]++;
      tally.both[outcome(weighed)]++;
    }
    const percent = (part: number) => ((100 * part) / tally.said).toFixed(1);
    for (const [by, { right, wrong, asked }] of [
      ['sound', tally.sound],
      ['sound_and_stand', tally.both],
    ] as const)
      print(
        `opinions.${decibels}dB.${by}`,
        percent(right),
        `% right and kept, ${percent(wrong)} % wrong and kept, ${percent(asked)} % asked or refused, of ${tally.said} heights`,
      );
  }
}
