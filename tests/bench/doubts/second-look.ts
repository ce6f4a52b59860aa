/**
 * Whole days with a second look at every tenth tree, as at the closing of a plot: who slips and is asked mends it at once,
 * who is told later mends it then, who is told of a sound tree confirms it and is not told again. Six notes of a hundred
 * slip, two of them in a way that the tool's table does not have.
 */
import { diameterToInches } from '../../../shared/core/units.ts';
import { HeightCurve, type Pair } from '../../../shared/measuring/doubt/curve.ts';
import { type Accepted, askFrom, doubtsOf, secondLook } from '../../../shared/measuring/doubt/index.ts';
import { measure } from '../../../shared/measuring/height/measure.ts';
import {
  misread,
  type SlipKind,
  settings,
  slipKinds,
  slipped,
  type Told,
  tell,
  unlistedKinds,
} from './notes.ts';
import { Random } from './random.ts';
import type { Stand } from './sets.ts';

export interface Fate {
  readonly stand: string;
  /** Place in the day, from 0. */
  readonly place: number;
  readonly diameterIn: number;
  readonly slip: SlipKind | null;
  /** Height or diameter off by more than a quarter. */
  readonly large: boolean;
  fate: 'asked' | 'told' | 'silent';
}

const listedShare = 0.04;
const unlistedShare = 0.02;
const dayLength = 80;
const plotLength = 10;

/** A note as the book would have it; null where it gives no height. */
function acceptedOf(
  id: string,
  { species, plot = null }: Pair,
  told: Told,
): (Accepted & { taught: Pair }) | null {
  const height = measure(told.measurement, settings);
  if (!height.ok) return null;
  const diameterIn = diameterToInches(told.diameter, 'feet');
  const heightFt = height.value.feet;
  return {
    tree: { id, species, diameterIn, heightFt, marks: [], status: 'live' },
    taught: { species, diameterIn, heightFt, plot },
    measured: { measurement: told.measurement, height: height.value },
    settings,
  };
}

function isAsked(accepted: Accepted, told: Told, curve: HeightCurve): boolean {
  const { measurement, height } = accepted.measured!;
  const doubts = doubtsOf(
    {
      kind: 'height',
      note: { kind: 'tree', facts: { diameter: told.diameter }, height: measurement },
      measurement,
      height,
    },
    {
      settings,
      curve,
      others: [],
      tree: { ...accepted.tree, heightFt: null },
      plot: accepted.taught?.plot ?? null,
    },
  );
  return doubts.some(({ strength }) => strength >= askFrom);
}

/** The note as it comes: mostly sound, sometimes with a slip. */
function stumble(told: Told, random: Random): { readonly told: Told; readonly slip: SlipKind | null } {
  const chance = random.next();
  if (chance >= listedShare + unlistedShare) return { told, slip: null };
  if (chance >= listedShare) {
    const kind = random.pick(unlistedKinds);
    // Any height can be that of another tree: a device reads it here, so that it is off by the factor alone.
    const height = measure(told.measurement, settings);
    const value = height.ok ? Math.round(10 * height.value.feet) / 10 : 1;
    const bad = misread({ ...told, measurement: { method: 'reading', takes: [{ value }] } }, kind);
    return bad === null ? { told, slip: null } : { told: bad, slip: kind };
  }
  for (const kind of random.shuffled(slipKinds)) {
    const bad = slipped(told, kind, random);
    if (bad !== null) return { told: bad, slip: kind };
  }
  return { told, slip: null };
}

const off = (a: number, b: number): number => Math.abs(a / b - 1);

/** `looks`: with the second look, or without. */
export function days(stand: Stand, seed: number, count: number, looks: boolean): Fate[] {
  const random = new Random(seed);
  const fates: Fate[] = [];
  for (let day = 0; day < count; day++) {
    const curve = new HeightCurve();
    const bias = Math.exp(0.03 * random.normal());
    const open = new Map<string, { accepted: Accepted & { taught: Pair }; sound: Pair; fate: Fate }>();
    const row = random.shuffled(stand.trees).slice(0, dayLength);
    row.forEach((tree, place) => {
      const sound = tell(tree, random, bias);
      const said = stumble(sound, random);
      const meant = acceptedOf(`${place}`, tree, sound);
      const accepted = acceptedOf(`${place}`, tree, said.told);
      if (meant === null || accepted === null) return;
      const [a, b] = [accepted.taught, meant.taught];
      const large = Math.max(off(a.heightFt, b.heightFt), off(a.diameterIn, b.diameterIn)) > 0.25;
      const fate: Fate = {
        stand: stand.name,
        place,
        diameterIn: tree.diameterIn,
        slip: said.slip,
        large: said.slip !== null && large,
        fate: 'silent',
      };
      fates.push(fate);
      if (isAsked(accepted, said.told, curve)) {
        fate.fate = 'asked';
        curve.observe(b);
      } else {
        curve.observe(a);
        open.set(accepted.tree.id, { accepted, sound: b, fate });
      }
      if (!looks || ((place + 1) % plotLength !== 0 && place + 1 < row.length)) return;
      const all = [...open.values()].map((one) => one.accepted);
      for (const { tree: id } of secondLook(all, curve)) {
        const { accepted: told, sound: right, fate: its } = open.get(id)!;
        its.fate = 'told';
        open.delete(id);
        if (its.slip === null) continue;
        curve.forget(told.taught);
        curve.observe(right);
      }
    });
  }
  return fates;
}
