/**
 * Fits the weights of shared/sound/confidence.ts: logistic regression of "this is what was said" on the evaluation clips.
 * Prints the weights to be written there, and what they do to voices and sentences that were both left out of the fit: the
 * limit in shared/dialogue/choosing.ts is chosen by these.
 */
import { confidenceWeights, measuresOf } from '../../shared/sound/confidence.ts';
import { beliefBy, type Judged, regress } from './hearing/regression.ts';
import { type ClipSet, ready } from './voices/clips.ts';
import { createEar, runTrials, type Trial } from './voices/trials.ts';

export const name = 'belief';

const clean = Number.POSITIVE_INFINITY;

interface Row extends Judged {
  readonly trial: Trial;
  /** Which half its sentence is in, and which group its voice: neither is on both sides of a fit. */
  readonly half: number;
  readonly group: number;
}

/** Voices that are alike, blends with those that they are blended of. */
const groups = [['awb'], ['joe'], ['af_sky', 'am_eric'], ['bm_lewis', 'bf_lily', 'slt', 'rms']] as const;
const groupOf = (voice: string): number =>
  Math.max(
    0,
    groups.findIndex((group) => group.some((one) => voice.startsWith(one))),
  );

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const ear = await createEar();
  const clips = ready((sentence) => console.error(sentence));
  const of = (...sets: ClipSet[]) => clips.filter(({ set }) => sets.includes(set));
  const trials = [
    ...(await runTrials(ear, of('usual', 'day'), [clean, 20, 10, 5, 0])),
    ...(await runTrials(ear, of('sampled'), [clean, 10, 0])),
    ...(await runTrials(ear, of('near', 'talk', 'own'), [clean, 10])),
  ];
  const isNote = ({ clip }: Trial) => ['usual', 'day', 'sampled'].includes(clip.set);
  const rows = trials.flatMap((trial): Row[] => {
    const best = trial.found.hypotheses[0];
    if (!best || isNote(trial) !== trial.readable) return [];
    let half = 0;
    for (const letter of trial.clip.text) half = (half * 31 + letter.charCodeAt(0)) % 1009;
    const x = measuresOf({ ...best, speechFrames: trial.found.speechFrames, noise: trial.noisiness });
    return [
      {
        trial,
        x,
        y: isNote(trial) && trial.rightBySound ? 1 : 0,
        half: half % 2,
        group: groupOf(trial.clip.voice),
      },
    ];
  });
  const weights = regress(rows);
  Object.keys(confidenceWeights).forEach((weight, k) => {
    print(weight, weights[k]!.toFixed(3), '');
  });
  const others = groups.map((_, group) =>
    [0, 1].map((half) => regress(rows.filter((row) => row.half !== half && row.group !== group))),
  );
  const sure = new Map(
    rows.map((row) => [
      row.trial,
      Math.min(
        beliefBy(row.x, others[row.group]![row.half]!, row.trial.noisiness),
        row.trial.found.hypotheses[0]!.posterior,
      ),
    ]),
  );
  const percent = (some: readonly Trial[], from: number) =>
    ((100 * some.filter((trial) => (sure.get(trial) ?? 0) >= from).length) / some.length).toFixed(2);
  const notes = trials.filter((trial) => trial.clip.set !== 'sampled' && isNote(trial) && trial.readable);
  for (const from of [0.8, 0.88, 0.9, 0.92, 0.93, 0.94, 0.95, 0.97]) {
    for (const decibels of [clean, 20, 10, 5, 0]) {
      const some = notes.filter((trial) => trial.decibels === decibels);
      const at = `${from}.${decibels === clean ? 'clean' : `${decibels}dB`}`;
      const part = (right: boolean) =>
        (
          (100 * some.filter((t) => t.rightBySound === right && (sure.get(t) ?? 0) >= from).length) /
          some.length
        ).toFixed(2);
      print(`${at}.right_kept`, part(true), '% of notes');
      print(`${at}.wrong_kept`, part(false), '% of notes');
    }
    for (const set of ['near', 'talk', 'own'])
      for (const decibels of [clean, 10])
        print(
          `${from}.${set}.${decibels === clean ? 'clean' : '10dB'}_kept`,
          percent(
            trials.filter((t) => t.clip.set === set && !t.readable && t.decibels === decibels),
            from,
          ),
          '%',
        );
  }
}
