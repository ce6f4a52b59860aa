/**
 * The second look: every accepted tree judged again by what the other trees of the stand have taught since. The first
 * trees of a day were judged by the usual heights of their species alone; twenty trees later the stand knows better.
 */

import type { Measurement } from '../../note/note.ts';
import type { TreeRecord } from '../../totals/types.ts';
import type { Height, HeightSettings } from '../height/types.ts';
import type { HeightCurve, Pair } from './curve.ts';
import { askFrom, doubtsOf, type Subject } from './doubts.ts';
import type { SaidDiameter } from './slips.ts';

/** A tree of the book, with how its height was measured and the settings then in force. */
export interface Accepted {
  readonly tree: Pick<TreeRecord, 'id' | 'species' | 'diameterIn' | 'heightFt' | 'marks' | 'status'>;
  /** The pair that it taught the curve; null where it taught nothing. */
  readonly taught: Pair | null;
  readonly measured: { readonly measurement: Measurement; readonly height: Height } | null;
  readonly settings: HeightSettings;
}

export interface SecondLook {
  readonly tree: string;
  /** As of a doubt, `askFrom` and above. */
  readonly strength: number;
  /** What the other trees of the stand lead one to expect at this diameter. */
  readonly expectedFt: number;
}

/** Trees of the stand from which on it has something to say of one of them. */
const leastTrees = 5;
/** Distance from the curve, with the tree itself in it, below which it is not worth leaving it out, sd. */
const plainlyFits = 1;

/**
 * What stands out, strongest first. `curve` has seen every tree of `trees`; it is left as it was.
 * Example: a 112-foot oak of 14 inches was the first tree and ten oaks of 60 to 80 feet came after it: it stands first, with
 * about 70 feet expected.
 */
export function secondLook(trees: Iterable<Accepted>, curve: HeightCurve): readonly SecondLook[] {
  if (curve.n < leastTrees) return [];
  const found: SecondLook[] = [];
  for (const accepted of trees) {
    const look = lookAt(accepted, curve);
    if (look !== null) found.push(look);
  }
  return found.sort((a, b) => b.strength - a.strength);
}

function lookAt(accepted: Accepted, curve: HeightCurve): SecondLook | null {
  const { tree, taught, measured } = accepted;
  const { species, diameterIn, heightFt } = tree;
  if (diameterIn === null || !(diameterIn > 0) || taught === null || measured === null || heightFt === null)
    return null;
  if (Math.abs(curve.stray(species, diameterIn, heightFt)) < plainlyFits && usualDiameter(diameterIn, curve))
    return null;
  return curve.without(taught, () => {
    const diameter: SaidDiameter = { value: Math.round(diameterIn * 10) / 10, unit: 'in' };
    const subject: Subject = {
      kind: 'height',
      note: { kind: 'tree', facts: { diameter }, height: measured.measurement },
      measurement: measured.measurement,
      height: { ...measured.height, feet: heightFt },
    };
    const doubts = doubtsOf(subject, {
      settings: accepted.settings,
      curve,
      tree,
      others: [],
      plot: taught.plot ?? null,
      broughtUp: 'line',
    });
    const first = doubts.find(({ code }) => code === 'misfit' || code === 'diameter' || byStand.has(code));
    if (first === undefined || first.strength < askFrom) return null;
    return {
      tree: tree.id,
      strength: first.strength,
      expectedFt: curve.onPlot(taught.plot, () => curve.predict(species, diameterIn).feet),
    };
  });
}

/** Limits that may stand before the stand's own judgement. */
const byStand: ReadonlySet<string> = new Set(['tallForSpecies', 'slender', 'stout']);

/** Within two spreads of the stand's diameters. */
function usualDiameter(diameterIn: number, curve: HeightCurve): boolean {
  const { centre, scale } = curve.diameters.next();
  return Math.abs(Math.log(diameterIn) - centre) < 2 * scale;
}
