/**
 * What the trees add to the ear: heights of the stress lists in noise, heard by sound alone and with the stand's opinion.
 * Each sentence is said in a made-up stand whose trees are about as tall as the one that it tells.
 */
import { takeHeardFrom } from '../../../shared/book/session.ts';
import { HeightCurve } from '../../../shared/doubt/curve.ts';
import { type Trees, twoOpinions } from '../../../shared/doubt/opinions.ts';
import { measure } from '../../../shared/height/measure.ts';
import type { HeightSettings } from '../../../shared/height/types.ts';
import type { Note } from '../../../shared/note.ts';
import { seeded } from '../../../shared/seeded.ts';
import type { Print } from '../hearing.bench.ts';
import { type Ear, meanings, type Trial } from '../voices/trials.ts';

const settings: HeightSettings = {
  pace: { feet: 5.3, sdFeet: 0.2 },
  eye: { feet: 5.5, sdFeet: 0.1 },
  counting: 'paces',
  units: 'feet',
  groundShorter: 0,
  scatter: {},
};

/** Trees measured before, and how far their heights scatter about the curve (logarithm). */
const treesBefore = 15;
const scatter = 0.12;
/** Heights, feet, of trees that stand in a stand. */
const ordinary = { least: 25, most: 130 } as const;

/** A stand in which a tree of 14 inches is about so tall. */
function standOf(feet: number, seed: number): Trees {
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
    const tally = { said: 0, sound: [0, 0, 0], both: [0, 0, 0] };
    for (const [i, { clip, candidates }] of stress.filter((trial) => trial.decibels === decibels).entries()) {
      const heights = [...meanings(ear.reader, clip.text).entries()].flatMap(([key, note]) =>
        note.kind === 'height' ? [{ key, note }] : [],
      );
      const told = heights[0] && measure(heights[0].note.height, settings);
      if (!told?.ok || told.value.feet < ordinary.least || told.value.feet > ordinary.most) continue;
      const right = new Set(heights.map(({ note }) => JSON.stringify(note)));
      const fateOf = (list: readonly { note: Note; posterior: number }[]): 0 | 1 | 2 => {
        const [best] = list;
        if (best === undefined || best.posterior < takeHeardFrom) return 2;
        return right.has(JSON.stringify(best.note)) ? 0 : 1;
      };
      const unsure = (candidates[0]?.posterior ?? 0) < takeHeardFrom;
      const weighed = unsure ? twoOpinions(candidates, standOf(told.value.feet, i + 1)) : candidates;
      tally.said++;
      tally.sound[fateOf(candidates)]!++;
      tally.both[fateOf(weighed)]!++;
    }
    const percent = (part: number) => ((100 * part) / tally.said).toFixed(1);
    for (const [by, [kept, wrong, asked]] of [
      ['sound', tally.sound],
      ['sound_and_stand', tally.both],
    ] as const)
      print(
        `opinions.${decibels}dB.${by}`,
        percent(kept!),
        `% right and kept, ${percent(wrong!)} % wrong and kept, ${percent(asked!)} % asked or refused, of ${tally.said} heights`,
      );
  }
}
