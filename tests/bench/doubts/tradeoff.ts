/**
 * The trade-off between false alarms and slips found, by threshold, on the tuning stands (or, with the word `held`, on
 * the held ones), with ten and more earlier trees; and the thresholds at which the rivals give as many false alarms.
 * Run: npx tsx tests/bench/doubts/tradeoff.ts [held]
 */
import { askFrom } from '../../../shared/measuring/doubt/index.ts';
import { isListed } from './notes.ts';
import { percent, share } from './score.ts';
import { heldStands, tuningStands } from './sets.ts';
import { type Judged, walk } from './stream.ts';

const held = process.argv[2] === 'held';
const stands = held ? heldStands() : tuningStands();
const judged = stands.flatMap((stand, i) => walk(stand, 300 + i, { sweep: true, notes: held ? 600 : 400 }));
const late = judged.filter(({ earlier }) => earlier >= 10);
const groups = new Map<string, Judged[]>([['all', late]]);
for (const j of late) {
  const name = j.stand.startsWith('simulated') ? 'simulated' : j.stand;
  groups.set(name, [...(groups.get(name) ?? []), j]);
}
for (const [name, of] of groups) {
  const sound = of.filter(({ slip }) => slip === null);
  const large = of.filter((j) => j.large && isListed(j.slip));
  console.log(`${name}: ${sound.length} sound notes, ${large.length} large slips`);
  for (const from of [0.5, 0.7, 0.85, 0.9, 0.92, 0.935, 0.95, 0.96, 0.97]) {
    const asks = (j: Judged) => j.limits || j.asSaid < from;
    console.log(
      `  asked below ${from}: false alarms ${percent(share(sound, asks))}, found ${percent(share(large, asks))}`,
    );
  }
}
const sound = late.filter(({ slip }) => slip === null);
const large = late.filter((j) => j.large && isListed(j.slip));
// How far from the curve a height must stand to be asked about where no slip explains it.
for (const [title, of] of [
  ['ten and more earlier trees', late],
  ['fewer', judged.filter(({ earlier }) => earlier < 10)],
] as const) {
  for (const k of [2.4, 2.6, 2.8, 3, 3.2, 3.5, 4, 99]) {
    const asks = (j: Judged) => j.strength >= askFrom || Math.abs(j.stray) > k;
    const listed = of.filter((j) => j.large && isListed(j.slip));
    const unlisted = of.filter((j) => j.slip !== null && !isListed(j.slip));
    console.log(
      `stray ${k}, ${title}: false alarms ${percent(
        share(
          of.filter(({ slip }) => slip === null),
          asks,
        ),
      )}, found ${percent(share(listed, asks))} of ${listed.length} listed, ${percent(share(unlisted, asks))} of ${unlisted.length} unlisted`,
    );
  }
}
for (const rival of ['naslund', 'curtis', 'curtisAndDiameter'] as const) {
  for (const rate of [0.01, 0.02, 0.03, 0.05]) {
    const scores = sound.map((j) => (j.limits ? 99 : j[rival])).sort((a, b) => b - a);
    const k = scores[Math.floor(scores.length * rate)]!;
    console.log(
      `${rival}: k ${k.toFixed(2)} gives false alarms ${percent(rate)}, found ${percent(share(large, (j) => j.limits || j[rival] > k))}`,
    );
  }
}
