/**
 * Numbers carried over from the tree before: each tree behind the first ten is told as it is, and with the measurement of the
 * tree before, judged by a stand that has learnt the earlier ones; with and without knowing how the tree before was measured.
 */
import { diameterToInches } from '../../../shared/core/units.ts';
import { HeightCurve, type Pair } from '../../../shared/measuring/doubt/curve.ts';
import { askFrom, type DoubtContext, doubtsOf } from '../../../shared/measuring/doubt/index.ts';
import { measure } from '../../../shared/measuring/height/measure.ts';
import type { Measurement } from '../../../shared/note/note.ts';
import { settings, type Told, tell } from './notes.ts';
import { Random } from './random.ts';
import type { Stand } from './sets.ts';

interface CarriedOver {
  sound: number;
  /** Sound trees that were told as the one before by chance. */
  alike: number;
  alarms: number;
  alarmsWith: number;
  /** Carried-over numbers that put the height off by more than a quarter. */
  large: number;
  found: number;
  foundWith: number;
}

const taught = 10;
const dayLength = 60;

function isAsked(
  { species, plot = null }: Pair,
  { measurement, diameter }: Told,
  curve: HeightCurve,
  before: DoubtContext['before'],
): boolean {
  const height = measure(measurement, settings);
  if (!height.ok) return false;
  const note = { kind: 'tree' as const, facts: { diameter }, height: measurement };
  const tree = { species, diameterIn: diameterToInches(diameter, 'feet'), heightFt: null, marks: [] };
  return doubtsOf(
    { kind: 'height', note, measurement, height: height.value },
    { settings, curve, others: [], plot, before: before ?? null, tree: { ...tree, status: 'live' } },
  ).some(({ strength }) => strength >= askFrom);
}

const feetOf = (measurement: Measurement): number => {
  const height = measure(measurement, settings);
  return height.ok ? height.value.feet : Number.NaN;
};

export function carriedOver(stands: readonly Stand[], orders: number, seed: number): CarriedOver {
  const sums = { sound: 0, alike: 0, alarms: 0, alarmsWith: 0, large: 0, found: 0, foundWith: 0 };
  for (const [i, stand] of stands.entries()) {
    const random = new Random(seed + i);
    for (let order = 0; order < orders; order++) {
      const curve = new HeightCurve();
      let before: (NonNullable<DoubtContext['before']> & { measurement: Measurement }) | null = null;
      for (const [place, tree] of random.shuffled(stand.trees).slice(0, dayLength).entries()) {
        const told = tell(tree, random, 1);
        const heightFt = feetOf(told.measurement);
        if (!(heightFt > 0)) continue;
        if (place >= taught && before !== null) judge(tree, told, { curve, before, sums });
        curve.observe({ ...tree, heightFt });
        before = { ...tree, number: place, heightFt, measurement: told.measurement };
      }
    }
  }
  return sums;
}

function judge(
  tree: Pair,
  told: Told,
  {
    curve,
    before,
    sums,
  }: {
    readonly curve: HeightCurve;
    readonly before: NonNullable<DoubtContext['before']> & { readonly measurement: Measurement };
    readonly sums: CarriedOver;
  },
): void {
  sums.sound++;
  if (JSON.stringify(before.measurement) === JSON.stringify(told.measurement)) sums.alike++;
  if (isAsked(tree, told, curve, null)) sums.alarms++;
  if (isAsked(tree, told, curve, before)) sums.alarmsWith++;
  if (!(Math.abs(feetOf(before.measurement) / feetOf(told.measurement) - 1) > 0.25)) return;
  const wrong = { ...told, measurement: before.measurement };
  sums.large++;
  if (isAsked(tree, wrong, curve, null)) sums.found++;
  if (isAsked(tree, wrong, curve, before)) sums.foundWith++;
}
