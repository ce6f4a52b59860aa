/**
 * Fits the weights of shared/sound/belief.ts: logistic regression of "this is what was said" on the evaluation clips.
 * Prints the weights to be written there, and what they do to sentences that were left out of the fit.
 */
import { totalLoss } from '../../shared/sound/belief.ts';
import { ready } from './voices/clips.ts';
import { createEar, runTrials, type Trial } from './voices/trials.ts';

export const name = 'belief';

const mostOdds = Math.log(10_000);

/** 1, and the three measures of a trial's best hypothesis. */
function measures({ found }: Trial): number[] | undefined {
  const best = found.hypotheses[0];
  if (!best) return undefined;
  const odds = Math.log(Math.max(best.posterior, 1e-9) / Math.max(1 - best.posterior, 1e-9));
  return [
    1,
    Math.sqrt(Math.max(0, totalLoss({ ...best, speechFrames: found.speechFrames }))),
    Math.max(-mostOdds, Math.min(mostOdds, odds)),
    Math.log(Math.max(1, found.speechFrames)),
  ];
}

const probability = (x: readonly number[], weights: readonly number[]) =>
  1 / (1 + Math.exp(-x.reduce((sum, value, k) => sum + value * weights[k]!, 0)));

/** Newton's method on the log likelihood, with a slight pull to zero. */
function regress(rows: readonly { x: readonly number[]; y: number }[]): number[] {
  const size = rows[0]!.x.length;
  const weights = new Array<number>(size).fill(0);
  for (let round = 0; round < 40; round++) {
    const gradient = weights.map((weight) => -1e-2 * weight);
    const curvature = weights.map((_, i) => weights.map((_, j) => (i === j ? 1e-2 : 0)));
    for (const { x, y } of rows) {
      const p = probability(x, weights);
      for (let i = 0; i < size; i++) {
        gradient[i]! += x[i]! * (y - p);
        for (let j = 0; j < size; j++) curvature[i]![j]! += p * (1 - p) * x[i]! * x[j]!;
      }
    }
    solve(curvature, gradient).forEach((step, i) => {
      weights[i]! += step;
    });
  }
  return weights;
}

/** Gaussian elimination; the matrix is positive definite. */
function solve(matrix: number[][], right: number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  for (let i = 0; i < rows.length; i++) {
    for (let j = 0; j < rows.length; j++) {
      if (i === j) continue;
      const factor = rows[j]![i]! / rows[i]![i]!;
      for (let k = i; k <= rows.length; k++) rows[j]![k]! -= factor * rows[i]![k]!;
    }
  }
  return rows.map((row, i) => row[rows.length]! / row[i]!);
}

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const ear = await createEar();
  const clips = ready((sentence) => console.error(sentence));
  const trials = await runTrials(ear, clips, [Number.POSITIVE_INFINITY, 10, 0]);
  const rows = trials.flatMap((trial) => {
    const note = trial.clip.set === 'usual' || trial.clip.set === 'sampled';
    const x = note && !trial.readable ? undefined : measures(trial);
    // What was left out of the fit is chosen by sentence, so that no sentence is on both sides.
    const half = [...trial.clip.text].reduce((sum, letter) => sum + letter.charCodeAt(0), 0) % 2;
    return x ? [{ x, y: trial.right ? 1 : 0, half, trial }] : [];
  });
  const weights = regress(rows);
  ['constant', 'loss', 'odds', 'length'].forEach((weight, k) => {
    print(weight, weights[k]!.toFixed(3), '');
  });
  const halves = [
    regress(rows.filter((row) => row.half === 1)),
    regress(rows.filter((row) => row.half === 0)),
  ];
  for (const threshold of [0.5, 0.7, 0.8, 0.9, 0.95]) {
    const taken = (select: (trial: Trial) => boolean) => {
      const some = rows.filter((row) => select(row.trial));
      return some.filter((row) => probability(row.x, halves[row.half]!) >= threshold).length / some.length;
    };
    for (const decibels of [Number.POSITIVE_INFINITY, 10, 0]) {
      const at = `${threshold}.${decibels === Number.POSITIVE_INFINITY ? 'clean' : `${decibels}dB`}`;
      const is = (trial: Trial) => trial.decibels === decibels;
      print(`${at}.right_kept`, (100 * taken((t) => is(t) && t.right)).toFixed(1), '%');
      const wrong = (t: Trial) => is(t) && !t.right && (t.clip.set === 'usual' || t.clip.set === 'sampled');
      print(`${at}.wrong_kept`, (100 * taken(wrong)).toFixed(1), '% of those heard wrong');
      print(`${at}.near_kept`, (100 * taken((t) => is(t) && t.clip.set === 'near')).toFixed(1), '%');
      print(`${at}.talk_kept`, (100 * taken((t) => is(t) && t.clip.set === 'talk')).toFixed(1), '%');
    }
  }
}
